package colour

import "math"

// DifferenceWords says what a ΔE00 means to someone looking at two patches
// side by side. The steps 1, 2, 3.5 and 5 are those of Mokrzycki and Tatol,
// "Colour difference ΔE: a survey", Machine Graphics & Vision 20 (2011), from
// memory; the one at 0.5 is common practice.
func DifferenceWords(de float64) string {
	switch {
	case !(de >= 0):
		return "unknown"
	case de < 0.5:
		return "looks the same"
	case de < 1:
		return "hardly visible"
	case de < 2:
		return "just visible"
	case de < 3.5:
		return "visible"
	case de < 5:
		return "clearly different"
	}
	return "another colour"
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
