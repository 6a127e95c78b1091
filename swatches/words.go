package swatches

import (
	"fmt"
	"math"
	"strings"

	"tawny/colour"
)

// DifferenceWords says what a ΔE00 means to someone looking. The steps 1, 2,
// 3.5 and 5 are those of Mokrzycki and Tatol, "Colour difference ΔE: a
// survey", Machine Graphics & Vision 20 (2011), from memory.
func DifferenceWords(de float64) string {
	switch {
	case !(de >= 0):
		return "unknown"
	case de < 1:
		return "looks the same"
	case de < 2:
		return "barely visible"
	case de < 3.5:
		return "visible side by side"
	case de < 5:
		return "clearly different"
	}
	return "another colour"
}

// TurnWords says how a colour differs from another in a maker's words, with
// the two largest of the lightness, chroma and hue terms of CIEDE2000. Terms
// under half a unit are left out.
func TurnWords(from, to colour.Lab) string {
	l, c, h := colour.Parts00(from, to)
	// Hue counts up from red through yellow, so for skin a rise is warmer.
	terms := []struct {
		size     float64
		up, down string
	}{{l, "lighter", "darker"}, {c, "stronger", "greyer"}, {h, "yellower", "redder"}}
	if hue := to.LCh().H; hue > 105 && hue < 345 {
		terms[2].up, terms[2].down = "hue up", "hue down"
	}
	var words []string
	for len(words) < 2 {
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
		words = append(words, word)
		terms[best].size = 0
	}
	return strings.Join(words, ", ")
}

// minus is the typographic minus sign, as wide as a digit.
const minus = "−"

// number writes x with decimals places, a true minus and no negative zero.
func number(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "–"
	}
	s := fmt.Sprintf("%.*f", decimals, x)
	if rest, ok := strings.CutPrefix(s, "-"); ok {
		if strings.Trim(rest, "0.") == "" {
			return rest
		}
		return minus + rest
	}
	return s
}

// amount writes x to about three digits without trailing zeros: 0.5, 2, 1.25.
func amount(x float64) string {
	s := number(x, 2)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// count writes a number of glints to two digits: 340, 1200, 8.
func count(x float64) string {
	if !(x >= 10) {
		return amount(math.Round(x*10) / 10)
	}
	p := math.Pow(10, math.Floor(math.Log10(x))-1)
	return fmt.Sprintf("%.0f", math.Round(x/p)*p)
}

func labText(c colour.Lab) string {
	return "L*\u00a0" + number(c.L, 1) + ", a*\u00a0" + number(c.A, 1) + ", b*\u00a0" + number(c.B, 1)
}

func (c *Card) lightWords() string {
	v := c.viewing()
	name := v.Name()
	if strings.Contains(c.Light, v.Illuminant.Name) {
		return c.Light
	}
	if c.Light != "" {
		return c.Light + " (" + name + ")"
	}
	return v.Illuminant.Plain + " (" + name + ")"
}
