package book

import (
	"encoding/json"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// foldName is a name as it is compared with others: capitals aside, by Unicode,
// however its letters were composed. The Turkish letters i are one: which of
// them a capital stands for depends on the language.
func foldName(name string) string {
	folded := cases.Fold().String(norm.NFD.String(strings.TrimSpace(name)))
	return norm.NFC.String(oneI.Replace(folded))
}

var oneI = strings.NewReplacer("ı", "i", "i\u0307", "i")

// bareName is a folded name without the marks over and under Latin, Greek and
// Cyrillic letters, which people leave out: Zoë is written Zoe. In other
// scripts marks are letters of their own.
func bareName(name string) string {
	var b strings.Builder
	base := false
	for _, r := range norm.NFD.String(foldName(name)) {
		if base && unicode.Is(unicode.Mn, r) {
			continue
		}
		base = unicode.In(r, unicode.Latin, unicode.Greek, unicode.Cyrillic)
		b.WriteRune(r)
	}
	return norm.NFC.String(b.String())
}

// gap stands where a name was.
const gap = "…"

// eraser takes a person's name out of texts that are others': the whole name
// wherever it stands, and in titles and notes each word of it but those that
// stand for something else too.
type eraser struct {
	words []string        // of the name, bare, in their order
	alone map[string]bool // those that go by themselves
	runs  []string        // in scripts that do not part words, what goes within a run of letters
	from  map[rune]bool   // what the words and runs may begin with, to pass over most of a text quickly
	ascii [128]bool       // the same, of the English letters and digits
}

// newEraser is for a name; stays tells of a folded word that must not go alone.
func newEraser(name string, stays func(word string) bool) *eraser {
	e := &eraser{alone: map[string]bool{}, from: map[rune]bool{}}
	name = norm.NFC.String(strings.TrimSpace(name))
	unparted := strings.ContainsFunc(name, func(r rune) bool {
		return unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Hangul, unicode.Thai, unicode.Lao, unicode.Khmer, unicode.Myanmar)
	})
	if unparted {
		e.runs = append(e.runs, name, strings.Join(strings.Fields(name), ""))
	}
	for _, s := range wordsOf(name) {
		word := bareName(name[s.from:s.to])
		e.words = append(e.words, word)
		if len([]rune(word)) > 1 && !stays(word) && !stays(foldName(name[s.from:s.to])) {
			e.alone[word] = true
			if unparted {
				e.runs = append(e.runs, name[s.from:s.to])
			}
		}
		e.addFirst(word)
	}
	for _, run := range e.runs {
		e.addFirst(run)
	}
	return e
}

// addFirst adds every letter that a word may begin with, as it may be written.
func (e *eraser) addFirst(word string) {
	for _, form := range []string{word, norm.NFD.String(word)} {
		first, _ := utf8.DecodeRuneInString(form)
		for r := unicode.SimpleFold(first); ; r = unicode.SimpleFold(r) {
			e.from[r] = true
			if r < utf8.RuneSelf {
				e.ascii[r] = true
			}
			if r == first {
				break
			}
		}
		for _, r := range foldTogether[first] {
			e.from[r] = true
		}
	}
}

// mayBegin reports whether a letter, or the one under its marks, is one that a
// word may begin with.
func (e *eraser) mayBegin(r rune) bool {
	if e.from[r] {
		return true
	}
	if r < utf8.RuneSelf {
		return false
	}
	base, _ := utf8.DecodeRuneInString(norm.NFD.String(string(r)))
	return e.from[base]
}

// foldTogether are letters that fold to several, by the first of those
// (Unicode's CaseFolding.txt, status F, as far as words begin with them), and
// the Turkish letters i.
var foldTogether = map[rune]string{'s': "ßẞ", 'f': "ﬀﬁﬂﬃﬄ", 'i': "ıİ"}

// may reports whether the name or a word of it may be in a text or a JSON text,
// without telling where: most are passed over by it.
func (e *eraser) may(s string) bool {
	inWord := false
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c < utf8.RuneSelf {
			letter := c|0x20 >= 'a' && c|0x20 <= 'z' || c >= '0' && c <= '9'
			if letter && !inWord && e.ascii[c] && e.begins(s[i:]) {
				return true
			}
			if c == '\\' && strings.HasPrefix(s[i:], `\u`) && !strings.HasPrefix(s[i:], `\u003`) && !strings.HasPrefix(s[i:], `\u0026`) {
				return true // a letter of any kind, in JSON's disguise
			}
			inWord = letter && (i == 0 || s[i-1] != '\\') // in JSON, n after \ is no letter
			continue
		}
		r, size := utf8.DecodeRuneInString(s[i:])
		if e.mayBegin(r) {
			return true
		}
		inWord = unicode.In(r, unicode.L, unicode.M, unicode.N)
		i += size - 1
	}
	return false
}

// begins reports whether a text goes on as a word of the name, as far as both
// are in English letters.
func (e *eraser) begins(s string) bool {
	for n, word := range e.words {
		if n > 0 && !e.alone[word] {
			continue
		}
		i := 0
		for i < len(word) && i < len(s) && word[i] < utf8.RuneSelf && s[i] < utf8.RuneSelf && word[i] == lower(s[i]) {
			i++
		}
		if i == len(word) || i < len(s) && (word[i] >= utf8.RuneSelf || s[i] >= utf8.RuneSelf) {
			return true
		}
	}
	return false
}

func lower(c byte) byte {
	if c >= 'A' && c <= 'Z' {
		return c | 0x20
	}
	return c
}

// span is a word's place in a text, in bytes.
type span struct{ from, to int }

// wordsOf are the runs of letters, their marks, and digits.
func wordsOf(s string) (spans []span) {
	start := -1
	for i, r := range s {
		in := unicode.In(r, unicode.L, unicode.M, unicode.N)
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

// text is s without the name; alone says that its words go by themselves too.
func (e *eraser) text(s string, alone bool) string {
	for i, run := range e.runs {
		if alone || i < 2 { // the first two are the whole name
			if composed := norm.NFC.String(s); strings.Contains(composed, run) {
				s = strings.ReplaceAll(composed, run, gap)
			}
		}
	}
	if !e.may(s) {
		return s
	}
	spans := wordsOf(s)
	bare := func(i int) string { return bareName(s[spans[i].from:spans[i].to]) }
	var out strings.Builder
	kept := 0
	for i := 0; i < len(spans); i++ {
		if first, _ := utf8.DecodeRuneInString(s[spans[i].from:]); !e.mayBegin(first) {
			continue
		}
		n := 0
		for n < len(e.words) && i+n < len(spans) && bare(i+n) == e.words[n] && (n == 0 || joined(s[spans[i+n-1].to:spans[i+n].from])) {
			n++
		}
		switch {
		case n == len(e.words):
		case alone && e.alone[bare(i)]:
			n = 1
		default:
			continue
		}
		out.WriteString(s[kept:spans[i].from] + gap)
		kept = spans[i+n-1].to
		i += n - 1
	}
	return out.String() + s[kept:]
}

// joined reports whether what stands between two words leaves them one name.
func joined(between string) bool { return strings.Trim(between, " \t\n\u00a0-_.,'’") == "" }

// literal is a string of a JSON text, with the colon that makes it a key.
var literal = regexp.MustCompile(`"(?:[^"\\]|\\.)*"(\s*:)?`)

// titles are the keys of documents under which people write what they like.
var titles = map[string]bool{"title": true, "name": true, "note": true, "notes": true, "client": true, "text": true, "words": true, "says": true}

// document is a JSON text without the name in any of its values.
func (e *eraser) document(s string) string {
	if !e.may(s) {
		return s
	}
	key := ""
	return literal.ReplaceAllStringFunc(s, func(found string) string {
		var text string
		if end := strings.LastIndexByte(found, '"') + 1; json.Unmarshal([]byte(found[:end]), &text) != nil {
			return found
		} else if end < len(found) {
			key = text
			return found
		}
		if clean := e.text(text, titles[key]); clean != text {
			return jsonString(clean)
		}
		return found
	})
}

// tradeWords are words of the workshop that people are also called by, or that
// a name in the book has beside the person's own.
var tradeWords = strings.Fields(`amber apricot arm bare base batch beige black blend blue blush body bright bronze brown
	card champagne client cool copper coral cream dancer dark deep demo drawdown evening fair film flake gleam gold golden
	gram green grey heather honey hazel ivory jar jade lavender light lily lot lotion matt mica mint morning mulberry oil
	olive opal pale pearl peach photo pink plum powder purple reading red rose rosy ruby rust satin scarlet shade sheen
	shimmer silver skin soft spark sparkle stage summer sun tan tawny test topaz violet warm wear white winter yellow`)
