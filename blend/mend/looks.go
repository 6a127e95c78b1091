package mend

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tawny/colour"
)

// Looks is what an eye says of a batch beside what was wanted.
type Looks struct {
	Lab     colour.Lab // the batch, as the words have it
	Sparkle string     // "sparkly" or "flat" where that was said, else ""
	GleamBy float64    // then: how many times its gleam is wanted
}

// ΔE00 that the grades of a word stand for, a convention: what is just seen on
// skin of middle depth, then about twice and four times that. It is rather less
// than what makes an eye say so, since an addition cannot be taken out again. The
// factors are of the gleam, whose words are a factor of three apart.
var grades = []grade{{"a little too ", 1, 1.15}, {"a little ", 1, 1.15}, {"much too ", 4.5, 2}, {"far too ", 4.5, 2}, {"too ", 2.2, 1.4}, {"", 2.2, 1.4}}

type grade struct {
	words    string
	step, by float64
}

// look is a word for a colour, its opposite and its way from a colour.
type look struct {
	word, opposite string
	toward         func(c colour.Lab, by float64) colour.Lab
}

// looksWords are what an eye tells apart.
var looksWords = []look{
	{"pink", "green", func(c colour.Lab, by float64) colour.Lab { return colour.Lab{L: c.L, A: c.A + by, B: c.B - by/2} }},
	{"red", "green", func(c colour.Lab, by float64) colour.Lab { return colour.Lab{L: c.L, A: c.A + by, B: c.B} }},
	{"yellow", "", func(c colour.Lab, by float64) colour.Lab { return colour.Lab{L: c.L, A: c.A, B: c.B + by} }},
	{"blue", "yellow", func(c colour.Lab, by float64) colour.Lab { return colour.Lab{L: c.L, A: c.A, B: c.B - by} }},
	{"purple", "yellow", func(c colour.Lab, by float64) colour.Lab { return colour.Lab{L: c.L, A: c.A + by/2, B: c.B - by} }},
	{"green", "red", func(c colour.Lab, by float64) colour.Lab { return colour.Lab{L: c.L, A: c.A - by, B: c.B} }},
	{"light", "dark", func(c colour.Lab, by float64) colour.Lab { return colour.Lab{L: c.L + by, A: c.A, B: c.B} }},
	{"dark", "light", func(c colour.Lab, by float64) colour.Lab { return colour.Lab{L: c.L - by, A: c.A, B: c.B} }},
	{"strong", "dull", func(c colour.Lab, by float64) colour.Lab { return stretched(c, by) }},
	{"dull", "strong", func(c colour.Lab, by float64) colour.Lab { return stretched(c, -by) }},
}

func stretched(c colour.Lab, by float64) colour.Lab {
	l := c.LCh()
	l.C = math.Max(0, l.C+by)
	return l.Lab()
}

// LooksWords lists the words that are understood.
func LooksWords() string {
	var list []string
	for _, w := range looksWords {
		list = append(list, w.word)
	}
	return strings.Join(append(list, "sparkly", "flat"), ", ")
}

// alsoSaid are what people say for the words above.
var alsoSaid = strings.NewReplacer("it came out ", "", "it looks ", "", "it is ", "", "a bit ", "a little ", "slightly ", "a little ", "rosy", "pink", " and ", ", ")

// ParseLooks reads what an eye says of a batch whose colour was to be wanted:
// "too pink and a little too dark", or with commas between.
func ParseLooks(text string, wanted colour.Lab) (Looks, error) {
	l := Looks{Lab: wanted}
	var said []string
	for _, part := range strings.Split(alsoSaid.Replace(strings.ToLower(text)), ",") {
		part = strings.Join(strings.Fields(part), " ")
		at := slices.IndexFunc(grades, func(g grade) bool { return strings.HasPrefix(part, g.words) })
		grade, word := grades[at], part[len(grades[at].words):]
		if slices.Contains(said, word) {
			return l, fmt.Errorf("%q is said twice; once is accepted", word)
		}
		said = append(said, word)
		if word == "sparkly" || word == "flat" {
			if l.Sparkle != "" {
				return l, fmt.Errorf("sparkly and flat are both said; one is accepted")
			}
			l.Sparkle, l.GleamBy = word, grade.by
			if word == "sparkly" {
				l.GleamBy = 1 / grade.by
			}
			continue
		}
		at = slices.IndexFunc(looksWords, func(w look) bool { return w.word == word })
		if at < 0 {
			return l, fmt.Errorf("%q is not understood; too, a little too or much too with %s is accepted, with commas between", part, LooksWords())
		}
		w := looksWords[at]
		for _, other := range looksWords { // pink and red are both green's opposite
			if slices.Contains(said, other.word) && (other.word == w.opposite || other.opposite == w.word) {
				return l, fmt.Errorf("%s and %s are both said; one is accepted", other.word, w.word)
			}
		}
		from := l.Lab
		l.Lab = stepped(from, grade.step, func(by float64) colour.Lab { return w.toward(from, by) })
	}
	return l, nil
}
