package colour

import "math"

// DifferenceWords says what a ΔE00 means to someone looking at two patches side
// by side on skin of lightness L*. On light skin the steps are 0.5 (common
// practice) and 1, 2, 3.5 and 5 (Mokrzycki and Tatol, "Colour difference ΔE: a
// survey", Machine Graphics & Vision 20, 2011, from memory). On darker skin
// less is seen: the first two rise with [JustSeen], and the others move up with
// them, a convention, since only what is just seen was measured.
func DifferenceWords(de, skinL float64) string {
	more := JustSeen(skinL) / justSeenLight
	switch {
	case !(de >= 0):
		return "unknown"
	case de < 0.5*more:
		return "looks the same"
	case de < more:
		return "hardly visible"
	case de < more+1:
		return "just visible"
	case de < more+2.5:
		return "visible"
	case de < more+4:
		return "clearly different"
	}
	return "another colour"
}

// What half of observers see, ΔE00, on light and on dark skin (Vision Research
// 223:108474, 2024). The lightnesses they stand at here are those of the light
// and the dark preset, a convention.
const (
	justSeenLight, lightSkinL = 0.6, 65.0
	justSeenDark, darkSkinL   = 1.75, 37.0
)

// JustSeen returns the ΔE00 that half of observers see on skin of lightness L*,
// straight between light and dark skin and level beyond them.
func JustSeen(skinL float64) float64 {
	t := math.Min(math.Max((lightSkinL-skinL)/(lightSkinL-darkSkinL), 0), 1)
	return justSeenLight + t*(justSeenDark-justSeenLight)
}

// TurnWords says how a colour differs from another in a maker's words, with
// the two largest of the lightness, chroma and hue terms of CIEDE2000. Terms
// under half a unit are left out; "" where all are.
func TurnWords(from, to Lab) string {
	l, c, h := Parts00(from, to)
	// Hue counts up from red through yellow, so for skin a rise is yellower.
	terms := [3]struct {
		size     float64
		up, down string
	}{{l, "lighter", "darker"}, {c, "stronger", "greyer"}, {h, "yellower", "redder"}}
	if hue := to.LCh().H; hue > 105 && hue < 345 {
		terms[2].up, terms[2].down = "further round to blue", "further round to green"
	}
	words := ""
	for range 2 {
		best := -1
		for i, t := range terms {
			if math.Abs(t.size) >= 0.5 && (best < 0 || math.Abs(t.size) > math.Abs(terms[best].size)) {
				best = i
			}
		}
		if best < 0 {
			break
		}
		word := terms[best].up
		if terms[best].size < 0 {
			word = terms[best].down
		}
		if words != "" {
			words += " and "
		}
		words += word
		terms[best].size = 0
	}
	return words
}
