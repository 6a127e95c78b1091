package jar

import (
	"bytes"
	"cmp"
	_ "embed"
	"maps"
	"slices"
	"strings"
	"sync"

	"tawny/colour/table"
)

//go:embed words.csv
var wordFile []byte

// words are the built-in powder by the word for its colour.
var words = sync.OnceValue(func() map[string]string {
	f, err := table.Read("words.csv", bytes.NewReader(wordFile), table.Kind{Header: []string{"word", "powder"}})
	if err != nil {
		panic(err) // a fault of the build, caught by the tests
	}
	m := map[string]string{}
	for _, r := range f.Rows {
		m[r.Fields[0]] = r.Fields[1]
	}
	return m
})

// Words are those for a colour, in their order.
func Words() []string { return slices.Sorted(maps.Keys(words())) }

// Word finds the longest word for a colour in a text, and the built-in powder
// it looks like; "" for none. A rose pearl is rose: what says only how a powder
// shines counts where no colour is said.
func Word(text string) (word, powder string) {
	have := " " + strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !(r >= 'a' && r <= 'z') }), " ") + " "
	for w, p := range words() {
		if !strings.Contains(have, " "+w+" ") {
			continue
		}
		if c := cmp.Or(cmp.Compare(colourless(word), colourless(w)), cmp.Compare(len(w), len(word)), strings.Compare(word, w)); word == "" || c > 0 {
			word, powder = w, p
		}
	}
	return word, powder
}

// colourless is 1 for a word that says only how a powder shines.
func colourless(word string) int {
	if word == "pearl" || word == "glitter" {
		return 1
	}
	return 0
}

// PowderOf is the built-in powder that a word for a colour stands for, "" for
// what is no such word.
func PowderOf(word string) string { return words()[key(word)] }
