package skin

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"tawny/colour"
)

// presetITA is the angle of each preset but the dark one, in degrees: the
// middle of its class; for the very light, whose class has no upper end, about
// the median of the fitted subjects in it, and for the brown near the deepest
// of them (−7°), the middle being deeper than anyone measured.
var presetITA = [Classes - 1]float64{VeryLight: 58, Light: 48, Intermediate: 34.5, Tan: 19, Brown: -5}

// darkL is the lightness of the dark preset without the surface's own light:
// that of the published cluster of deep facial skin, L*a*b* (26.7, 14.6, 14.7)
// read at 45°:0° (120 subjects).
const darkL = 26.7

var presets = sync.OnceValue(makePresets)

// Presets returns the six presets, lightest first. Each is a point on the
// model's first component, which runs from light to deep, with the other two
// at their mean; a stand-in for a reading, and no one's skin.
func Presets() []Skin { return append([]Skin(nil), presets()...) }

func makePresets() []Skin {
	all := make([]Skin, Classes)
	for c := range all {
		class := Class(c)
		depth := findDepth(func(s float64) bool { // deeper than wanted
			r := standard().At([3]float64{s}, class == Dark)
			lab := colour.D65.Lab(&r)
			if class == Dark {
				return lab.L < darkL
			}
			return ITA(lab) < presetITA[c]
		})
		s := Skin{
			Name:    class.String(),
			Reading: colour.Reading{Text: class.String(), Viewing: colour.D65},
			Method:  FromModel, Preset: true,
			Scores: [3]float64{depth},
		}
		s.Reflectance = standard().At(s.Scores, false)
		s.Reading.Lab = colour.D65.Lab(&s.Reflectance)
		s.Extrapolated = !standard().Inside(s.Scores)
		n := class.Subjects()
		s.Note = fmt.Sprintf("a stand-in for a reading, from a model fitted to %d subjects of this class", n)
		if n == 1 {
			s.Note = "a stand-in for a reading, from a model fitted to one subject of this class"
		}
		if s.Extrapolated {
			s.Note = "a stand-in for a reading, extrapolated: no subject of this class was measured"
		}
		s.describe()
		all[c] = s
	}
	return all
}

// findDepth returns the first score at which deeper turns true, by halving.
func findDepth(deeper func(score float64) bool) float64 {
	low, high := -5.0, 15.0
	for high-low > 1e-12 && math.Nextafter(low, high) < high {
		mid := (low + high) / 2
		if deeper(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high
}

// Find returns the preset of a name. Case does not matter, and very-light is
// very light.
func Find(name string) (Skin, error) {
	key := presetKey(name)
	nearest, least := "", len(key)
	for _, p := range presets() {
		if p.Name == key {
			return p, nil
		}
		if d := colour.EditDistance(key, p.Name); d < least {
			nearest, least = p.Name, d
		}
	}
	hint := ""
	if least <= 2 || least <= len(key)/3 {
		hint = fmt.Sprintf("; did you mean %s?", nearest)
	}
	return Skin{}, fmt.Errorf("skin %q is not a preset%s; accepted are %s", name, hint, strings.Join(classNames[:], ", "))
}

func presetKey(name string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(name), func(r rune) bool {
		return r == ' ' || r == '-' || r == '_' || r == '\t'
	}), " ")
}
