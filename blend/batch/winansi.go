package batch

// high1252 are the Windows-1252 characters from 0x80 to 0x9f; 0 is unused.
var high1252 = [32]rune{'€', 0, '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', 0, 'Ž', 0,
	0, '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', 0, 'ž', 'Ÿ'}

// windows1252 is the byte of a character, a question mark for those it lacks.
func windows1252(r rune) byte {
	if r < 0x80 || (r >= 0xa0 && r <= 0xff) {
		return byte(r)
	}
	if r == 'Δ' { // a difference is all the sheets use it for
		return 'd'
	}
	for i, h := range high1252 {
		if h == r {
			return byte(0x80 + i)
		}
	}
	return '?'
}
