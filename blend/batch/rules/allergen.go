package rules

import (
	_ "embed"
	"strings"
	"sync"
)

//go:embed allergens.csv
var allergenFile []byte

// AllergenLeaveOn is the content above which a leave-on product names the
// substance, % w/w (Annex III, Regulation (EU) 2023/1545).
const AllergenLeaveOn = 0.001

// Allergen is a scent substance a label must name.
type Allergen struct {
	Label  string // as the ingredients list names it
	Entry  string // in Annex III
	starts bool
	also   []string
	keys   []string // Label and also, as they are compared
}

// New reports whether Regulation (EU) 2023/1545 brought the duty to name it.
func (a *Allergen) New() bool { return !old[a.Entry] }

// old are the entries named before 2023: 45 and 67 to 92.
var old = func() map[string]bool {
	m := map[string]bool{}
	for _, e := range strings.Fields("45 67 69 70 71 72 73 74 75 76 77 78 80 81 82 84 85 86 87 88 89 90 91 92") {
		m[e] = true
	}
	return m
}()

var allergens = sync.OnceValue(func() []*Allergen {
	t := open(allergenFile, "allergens.csv", "label,entry,starts,also")
	var out []*Allergen
	for t.next() {
		a := &Allergen{Label: t.text(0), Entry: t.text(1), starts: t.yes(2), also: t.words(3)}
		a.keys = keys(a.Label, a.also)
		out = append(out, a)
	}
	return out
})

// Allergens lists them all in the order of Annex III.
func Allergens() []*Allergen { return allergens() }

// AllergenNames lists every name AllergenOf knows, and the prohibited ones,
// for saying which is nearest to a slip of the pen.
func AllergenNames() []string {
	var out []string
	for _, a := range allergens() {
		out = append(append(out, a.Label), a.also...)
	}
	for _, b := range barred() {
		out = append(out, b.INCI)
	}
	return out
}

// AllergenOf returns the entry a name belongs to, nil for none. Names are
// compared without case; for groups of oils and extracts by their beginning,
// the longest beginning winning.
func AllergenOf(name string) *Allergen {
	k := key(name)
	var best *Allergen
	length := 0
	for _, a := range allergens() {
		for _, n := range a.keys {
			hit := k == n || a.starts && (begins(k, n) || begins(k, strings.TrimSuffix(n, " oil/extract")))
			if hit && len(n) > length {
				best, length = a, len(n)
			}
		}
	}
	return best
}

// begins reports whether name begins with these words.
func begins(name, words string) bool {
	rest, ok := strings.CutPrefix(name, words)
	return ok && strings.HasPrefix(rest, " ")
}
