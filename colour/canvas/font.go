package canvas

import (
	_ "embed"
	"strings"
	"sync"
	"unicode"

	"github.com/golang/freetype/truetype"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"
)

// The typeface is Lato 2.0 by Łukasz Dziedzic, with Latin, Greek and Cyrillic letters
// and figures of one width, under the SIL Open Font License (fonts/OFL.txt).
var (
	//go:embed fonts/Lato-Regular.ttf
	regularTTF []byte
	//go:embed fonts/Lato-Bold.ttf
	boldTTF []byte
)

// typeface is one weight of the font with its advances in units of the em.
type typeface struct {
	ttf   []byte
	font  *truetype.Font
	units float64
	cap   float64 // height of capitals, em

	// known holds the advances of the letters most met, 0 where the font lacks
	// one: looking them up in the font's tables takes ten times as long.
	known func() *[knownRunes]float64
}

const knownRunes = 0x530 // Latin, Greek and Cyrillic

var faces = [2]*typeface{Regular: mustFace(regularTTF), Bold: mustFace(boldTTF)}

func mustFace(ttf []byte) *typeface {
	f, err := truetype.Parse(ttf)
	if err != nil {
		panic(err) // the font is compiled in, so this is a fault of the build
	}
	t := &typeface{ttf: ttf, font: f, units: float64(f.FUnitsPerEm())}
	var g truetype.GlyphBuf
	if err := g.Load(f, fixed.Int26_6(f.FUnitsPerEm()), f.Index('H'), 0); err != nil {
		panic(err)
	}
	t.cap = float64(g.Bounds.Max.Y) / t.units
	t.known = sync.OnceValue(func() *[knownRunes]float64 {
		var k [knownRunes]float64
		for r := range k {
			k[r] = t.measure(rune(r))
		}
		return &k
	})
	return t
}

// measure looks an advance up in the font, em; 0 if it lacks the letter.
func (t *typeface) measure(r rune) float64 {
	i := t.font.Index(r)
	if i == 0 {
		return 0
	}
	return float64(t.font.HMetric(fixed.Int26_6(t.units), i).AdvanceWidth) / t.units
}

func (t *typeface) own(r rune) float64 {
	if r >= 0 && r < knownRunes {
		return t.known()[r]
	}
	return t.measure(r)
}

func (t *typeface) has(r rune) bool { return t.own(r) != 0 || t.font.Index(r) != 0 }

// CapHeight returns the height of capitals, mm.
func (s Style) CapHeight() float64 { return faces[s.Weight].cap * s.Size }

// Leading is the line spacing, em.
const Leading = 1.22

// LineHeight returns the distance between baselines, mm.
func (s Style) LineHeight() float64 { return s.Size * Leading }

// noBreak is the space that Wrap does not break at.
const noBreak = '\u00a0'

// Clean makes text safe to set on one line: line ends, tabs and other control
// characters become single spaces, letters written as base plus combining accent
// become the one letter that fonts carry, and marks that nothing is seen of are left
// out, but for joiners after letters that they change.
func Clean(s string) string {
	out := make([]rune, 0, len(s))
	for _, r := range norm.NFC.String(s) {
		if unicode.In(r, unicode.Cf, unicode.Variation_Selector) && !(joiner(r) && len(out) > 0 && otherFace(out[len(out)-1]) != nil) {
			continue
		}
		if r != noBreak && (unicode.IsControl(r) || unicode.IsSpace(r)) {
			r = ' '
		}
		if r != ' ' || len(out) == 0 || out[len(out)-1] != ' ' {
			out = append(out, r)
		}
	}
	return strings.TrimSpace(string(out))
}
