package rules

import (
	"cmp"
	_ "embed"
	"regexp"
	"strings"
	"sync"

	"tawny/blend/palette"
)

//go:embed colours.csv
var colourFile []byte

// Colour is one colour additive.
type Colour struct {
	CI        string // "CI 77891"
	INCI      string
	USName    string  // as a US label writes it; empty for a certified dye, whose jar says which and whether it is a lake
	Section   string  // of 21 CFR; empty where nothing but the number is known
	Body      bool    // external use
	Eyes      bool    // area of the eye, 21 CFR 70.3(s)
	Lips      bool    // 21 CFR 70.3(v): "externally applied" leaves lips out
	Spray     bool    // allowed in the EU where it may be breathed
	AnnexIV   string  // entry; empty for none
	PHLow     float64 // 0: no bound
	PHHigh    float64 // 0: no bound
	Also      []string
	Condition string
}

// On reports whether its section allows it on a place; none named is the body.
func (c *Colour) On(a palette.Area) bool {
	switch a {
	case palette.Eyes:
		return c.Eyes
	case palette.Lips:
		return c.Lips
	}
	return c.Body
}

// Name is what to call it.
func (c *Colour) Name() string { return cmp.Or(c.USName, c.CI) }

// Known reports whether more than its number is known.
func (c *Colour) Known() bool { return c.Section != "" }

// Source cites the section.
func (c *Colour) Source() string {
	if !c.Known() {
		return "21 CFR parts 73 and 74"
	}
	return "21 CFR " + c.Section
}

// Certified reports whether each lot must be certified: those of part 74.
func (c *Colour) Certified() bool { return strings.HasPrefix(c.Section, "74") }

type colourTable struct {
	byCI   map[string]*Colour
	byINCI map[string][]*Colour
}

var colours = sync.OnceValue(func() colourTable {
	t := open(colourFile, "colours.csv", "ci,inci,us_name,section,body,eyes,lips,spray,annex_iv,ph_low,ph_high,also,condition")
	out := colourTable{map[string]*Colour{}, map[string][]*Colour{}}
	for t.next() {
		c := &Colour{CI: t.text(0), INCI: t.text(1), USName: t.text(2), Section: t.text(3), Body: t.yes(4), Eyes: t.yes(5), Lips: t.yes(6),
			Spray: t.yes(7), AnnexIV: t.text(8), PHLow: t.number(9), PHHigh: t.number(10), Also: t.words(11), Condition: t.text(12)}
		out.byCI[ciKey(c.CI)] = c
		for _, n := range append([]string{c.INCI, c.USName}, c.Also...) {
			if n == "" {
				continue
			}
			k := colourKey(n)
			if l := out.byINCI[k]; len(l) == 0 || l[len(l)-1] != c {
				out.byINCI[k] = append(l, c)
			}
		}
	}
	return out
})

// certified is a certified dye or a lake of one, as labels write it: "D&C Red No. 7",
// "Red 7", "FD&C Red No. 40 Aluminum Lake".
var certified = regexp.MustCompile(`^(ext)?\.? *(?:f?d ?& ?c )? *(red|orange|yellow|green|blue|violet|brown|black) (?:no\.?|#)? *(\d+)(?: (?:aluminum |aluminium |barium |calcium |strontium |zirconium )?lake)?$`)

// Certified reports whether a name is written as those of certified dyes are, whose
// number is no share.
func Certified(name string) bool { return certified.MatchString(key(name)) }

// colourKey folds what a dye and its lakes are called.
func colourKey(name string) string { return certified.ReplaceAllString(key(name), "$1 $2 $3") }

// ciKey folds "CI 77891", "ci77891" and "77891".
func ciKey(s string) string {
	s = strings.TrimSpace(strings.TrimPrefix(strings.ToUpper(strings.TrimSpace(s)), "CI"))
	return strings.TrimSpace(s)
}

// ColourByCI returns the additive of a colour index number, nil for what is none. Of a
// number the table lacks only that is known: labels must bear it, and it is for the
// body at most.
func ColourByCI(ci string) *Colour {
	k := ciKey(ci)
	if c := colours().byCI[k]; c != nil || !number.MatchString(k) || k == ciKey(TinOxide) {
		return c
	}
	c, _ := unknown.LoadOrStore(k, &Colour{CI: "CI " + k, INCI: "CI " + k, Body: true, Spray: true})
	return c.(*Colour)
}

// TinOxide is the colour index number of what is under a rutile coat: it has one and is
// no colour additive (from memory).
const TinOxide = "CI 77861"

var (
	number  = regexp.MustCompile(`^\d{5}(:\d)?$`)
	unknown sync.Map // *Colour by number, so that each is one
)

// ColoursByName returns the additives an INCI, US or CI name may mean; the
// iron oxides share one name.
func ColoursByName(name string) []*Colour {
	if c := ColourByCI(name); c != nil {
		return []*Colour{c}
	}
	return colours().byINCI[colourKey(name)]
}
