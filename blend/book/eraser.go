package book

import (
	"cmp"
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// foldName is a name as it is compared with others: capitals aside, by Unicode,
// however its letters were composed and whatever stands between them unseen, such
// as a soft hyphen. The Turkish letters i are one: which of them a capital stands
// for depends on the language.
func foldName(name string) string {
	seen := strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, strings.TrimSpace(name))
	folded := cases.Fold().String(norm.NFD.String(seen))
	return norm.NFC.String(oneI.Replace(folded))
}

var oneI = strings.NewReplacer("ı", "i", "i\u0307", "i")

// noStroke takes the strokes off small letters, which Unicode does not count as
// marks over or under them, and people leave out as well: Łukasz is written Lukasz.
var noStroke = strings.NewReplacer("đ", "d", "ħ", "h", "ł", "l", "ø", "o", "ŧ", "t")

// bareName is a folded name without the marks over, under and through Latin, Greek
// and Cyrillic letters, and the points of Arabic and Hebrew, which people leave out:
// Zoë is written Zoe. In other scripts marks are letters of their own. Letters of one
// kind that are only drawn otherwise, such as full-width ones, are one.
func bareName(name string) string {
	var b strings.Builder
	base := false
	for _, r := range noStroke.Replace(norm.NFD.String(foldName(norm.NFKC.String(name)))) {
		if base && unicode.Is(unicode.Mn, r) || r == tatweel {
			continue
		}
		base = unicode.In(r, unicode.Latin, unicode.Greek, unicode.Cyrillic, unicode.Arabic, unicode.Hebrew)
		b.WriteRune(r)
	}
	return norm.NFC.String(b.String())
}

// tatweel only draws an Arabic word longer.
const tatweel = '\u0640'

// gap stands where a name was.
const gap = "…"

// reach is how much is taken for a name.
type reach int

const (
	nothing   reach = iota
	wholeName       // all of it, in its order, but where that is only a powder's name or the trade's
	ownWords        // and each word that stands for nothing else
	nearWords       // and what only holds such a word, or is one that another has too
	everyWord       // and words of the trade
)

// eraser takes a person's name out of texts that are others'.
type eraser struct {
	words []string               // of the name, bare, in their order
	whole reach                  // from where on all of them together are taken
	own   map[string]bool        // those that stand for nothing else
	stays func(word string) bool // whether a folded word stands for something else
	runs  []run                  // what goes in scripts that do not part words
	first map[rune]bool          // by letter, as far as met: whether a word of the name may begin with it
	ascii [utf8.RuneSelf]bool    // the same, of the English letters and digits

	metHome bool // a path that was looked at lies in a home folder with a word of the name
}

// isTrade reports whether a bare word is the workshop's, or stands beside names.
func isTrade(word string) bool {
	return slices.Contains(tradeWords, word) || slices.Contains(besideWords, word)
}

// calledAfter reports whether a thing is called after somebody: of its words some are
// of the name, and all others the workshop's.
func calledAfter(thing, name string) (after bool) {
	words := func(s string) (all []string) {
		for _, at := range wordsOf(s) {
			if word := bareName(s[at.from:at.to]); letters(word) > 1 && !isTrade(word) {
				all = append(all, word)
			}
		}
		return all
	}
	own := words(name)
	for _, word := range words(thing) {
		if !slices.ContainsFunc(own, func(o string) bool { return isForm(word, o) }) {
			return false
		}
		after = true
	}
	return after
}

// shares reports whether a word of the name stands for something else too.
func (e *eraser) shares() bool {
	return slices.ContainsFunc(e.words, func(word string) bool {
		return letters(word) > 1 && !e.own[word] && !slices.Contains(besideWords, word)
	})
}

// run is letters that are found within others.
type run struct {
	letters *regexp.Regexp
	reach   reach
}

// newEraser is for a name; stays tells of a folded word that stands for something
// else too.
func newEraser(name string, stays func(word string) bool) *eraser {
	e := &eraser{own: map[string]bool{}, stays: stays, first: map[rune]bool{}, whole: wholeName}
	name = norm.NFC.String(strings.TrimSpace(name))
	unparted := strings.ContainsFunc(name, func(r rune) bool {
		return unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul, unicode.Thai, unicode.Lao, unicode.Khmer, unicode.Myanmar)
	})
	if unparted {
		e.addRun(name, wholeName)
		e.addRun(strings.Join(strings.Fields(name), ""), wholeName)
	}
	for _, s := range wordsOf(name) {
		written := name[s.from:s.to]
		word := bareName(written)
		e.words = append(e.words, word)
		if letters(word) > 1 && !stays(word) && !stays(foldName(written)) {
			e.own[word] = true
			if unparted {
				e.addRun(written, ownWords)
			}
		}
	}
	for r := range rune(utf8.RuneSelf) {
		e.ascii[r] = e.mayBegin(r)
	}
	switch {
	case len(e.words) == 0 && name != "": // signs alone
		e.addRun(name, wholeName)
	case stays(foldName(name)), len(e.words) == 1 && !e.own[e.words[0]]:
		e.whole = everyWord // what others' powders and notes are full of
	}
	return e
}

// addRun adds letters that are found wherever they stand together.
func (e *eraser) addRun(text string, far reach) {
	var pattern strings.Builder
	for _, r := range text {
		pattern.WriteString(regexp.QuoteMeta(string(r)) + `\p{Cf}*`)
	}
	e.runs = append(e.runs, run{regexp.MustCompile(pattern.String()), far})
}

// mayBegin reports whether a letter is one that a word of the name may begin with,
// as it may be written: of a Hangul syllable the first of its letters may stand alone.
func (e *eraser) mayBegin(r rune) bool {
	may, met := e.first[r]
	if !met {
		first := func(s string) rune {
			letter, _ := utf8.DecodeRuneInString(norm.NFD.String(s))
			return letter
		}
		bare := first(bareName(string(r)))
		may = slices.ContainsFunc(e.words, func(word string) bool { return first(word) == bare })
		e.first[r] = may
	}
	return may
}

// may reports whether any of the name may be in a text or a JSON text, without
// telling where: most are passed over by it.
func (e *eraser) may(s string) bool {
	if len(e.words) == 0 {
		return true // signs alone
	}
	for i, r := range s {
		switch {
		case r == '\\':
			if strings.HasPrefix(s[i:], `\u`) && !strings.HasPrefix(s[i:], `\u003`) && !strings.HasPrefix(s[i:], `\u0026`) {
				return true // a letter of any kind, in JSON's disguise
			}
		case r < utf8.RuneSelf:
			if e.ascii[r] && e.begins(s[i:]) {
				return true
			}
		case e.mayBegin(r):
			return true
		}
	}
	return false
}

// begins reports whether a text goes on as a word of the name, as far as both
// are in English letters.
func (e *eraser) begins(s string) bool {
	for _, word := range e.words {
		i := 0
		for i < len(word) && i < len(s) && word[i] < utf8.RuneSelf && word[i] == s[i]|0x20 { // in small letters
			i++
		}
		if i == len(word) || i < len(s) && (word[i] >= utf8.RuneSelf || s[i] >= utf8.RuneSelf) {
			return true
		}
	}
	return false
}

func letters(word string) int { return utf8.RuneCountInString(word) }

// span is a word's place in a text, in bytes.
type span struct{ from, to int }

// wordsOf are the runs of letters, their marks, what stands unseen between them,
// and digits.
func wordsOf(s string) (spans []span) {
	start := -1
	for i, r := range s {
		in := unicode.IsLetter(r) || unicode.IsNumber(r) || unicode.IsMark(r) || start >= 0 && unicode.Is(unicode.Cf, r)
		if in && start < 0 {
			start = i
		}
		if !in && start >= 0 {
			spans = append(spans, span{start, i})
			start = -1
		}
	}
	if start >= 0 {
		spans = append(spans, span{start, len(s)})
	}
	return spans
}

// isForm reports whether a bare word is another, also with a number at an end of
// it or, of four letters or more, in the plural or the genitive of English.
func isForm(got, word string) bool {
	if got == word {
		return true
	}
	rest, begins := strings.CutPrefix(strings.Trim(got, "0123456789"), word)
	switch {
	case !begins:
		return false
	case rest == "es":
		last := word[len(word)-1]
		return letters(word) > 3 && strings.IndexByte("sxzh", last) >= 0
	}
	return rest == "" || rest == "s" && letters(word) > 3
}

// takes reports whether a bare word of a text is to be taken for one of the name.
func (e *eraser) takes(got string, far reach) bool {
	if joined := strings.Join(e.words, ""); len(e.words) > 1 && letters(joined) > 4 && isForm(got, joined) {
		return true
	}
	for _, word := range e.words {
		switch {
		case e.own[word] && far >= ownWords && isForm(got, word) && (got == word || !e.stays(got)):
			return true
		case e.own[word] && far >= nearWords && (got == word+"s" || letters(word) > 3 && strings.Contains(got, word)):
			return true
		case far >= nearWords && letters(word) > 1 && isForm(got, word) && !isTrade(word):
			return true // another's too
		case far >= everyWord && letters(word) > 1 && isForm(got, word) && !slices.Contains(besideWords, word):
			return true
		}
	}
	return false
}

// find tells where a name is in a text, from left to right.
func (e *eraser) find(s string, far reach) (found []span) {
	if far == nothing || !e.may(s) {
		return nil
	}
	for _, r := range e.runs {
		if r.reach > far {
			continue
		}
		for _, at := range r.letters.FindAllStringIndex(s, -1) {
			found = append(found, span{at[0], at[1]})
		}
	}
	spans := wordsOf(s)
	bare := make([]string, len(spans))
	for i, at := range spans {
		bare[i] = bareName(s[at.from:at.to])
	}
	for i := 0; i < len(spans); i++ {
		n, last := 0, len(e.words)-1
		for n <= last && i+n < len(spans) && (bare[i+n] == e.words[n] || n == last && isForm(bare[i+n], e.words[n])) &&
			(n == 0 || joined(s[spans[i+n-1].to:spans[i+n].from])) {
			n++
		}
		switch {
		case n > last && n > 0 && far >= e.whole:
		case e.takes(bare[i], far):
			n = 1
		default:
			continue
		}
		found = append(found, span{spans[i].from, spans[i+n-1].to})
		i += n - 1
	}
	slices.SortFunc(found, func(a, b span) int { return cmp.Or(a.from-b.from, b.to-a.to) })
	return found
}

// text is s without the name.
func (e *eraser) text(s string, far reach) string {
	whole := s
	if len(e.runs) > 0 {
		whole = norm.NFC.String(s) // as the runs are
	}
	found := e.find(whole, far)
	if found == nil {
		return s
	}
	var out strings.Builder
	kept := 0
	for _, at := range found {
		if at.from >= kept {
			out.WriteString(whole[kept:at.from] + gap)
		}
		kept = max(kept, at.to)
	}
	return out.String() + whole[kept:]
}

// joined reports whether what stands between two words leaves them one name.
func joined(between string) bool { return strings.Trim(between, " \t\n\u00a0-_.,'’") == "" }

// document is a JSON text whose values that may hold the name are as change
// makes them. key is the nearest before a value.
func (e *eraser) document(s string, change func(key, text string) string) string {
	if !e.may(s) {
		return s
	}
	var out strings.Builder
	key, kept := "", 0
	for from := strings.IndexByte(s, '"'); from >= 0; {
		to := endOfString(s, from)
		switch found := s[from:to]; {
		case strings.HasPrefix(strings.TrimLeft(s[to:], " \t\r\n"), ":"):
			key = strings.Trim(found, `"`)
		case e.may(found):
			var text string
			if json.Unmarshal([]byte(found), &text) != nil {
				break
			}
			if clean := change(key, text); clean != text {
				out.WriteString(s[kept:from] + jsonString(clean))
				kept = to
			}
		}
		next := strings.IndexByte(s[to:], '"')
		if next < 0 {
			break
		}
		from = to + next
	}
	return out.String() + s[kept:]
}

// endOfString is where a string of a JSON text ends that begins at from.
func endOfString(s string, from int) int {
	for i := from + 1; i < len(s); i++ {
		switch s[i] {
		case '\\':
			i++
		case '"':
			return i + 1
		}
	}
	return len(s)
}

// besideWords are what a name in the book has beside the person's own.
var besideWords = strings.Fields("client dancer demo test")

// tradeWords are words of the workshop that people are also called by.
var tradeWords = strings.Fields(`amber apricot arm bare base batch beige black blend blue blush body bright bronze brown card
	champagne chromia clear coat cool copper coral cream dark deep drawdown drawer evening fair film
	flake fox gleam gold golden gram green grey hazel heather honey ivory jade jar lavender light lily
	lot lotion matt mica mint mix mixture morning mulberry new oil old olive opal oxide pale peach pearl
	photo pigment pink plum pot powder purple reading red rose rosy ruby rust sample satin scarlet sea
	shade sheen shimmer silver skin smear soft spark sparkle special stage straw summer sun tan tawny
	titanium topaz ultramarine veil violet warm wear white winter yellow`)
