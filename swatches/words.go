package swatches

import (
	"fmt"
	"math"
	"strings"

	"tawny/colour"
)

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

// count writes a number of glints to two digits, thousands apart: 340, 1 200, 8.
func count(x float64) string {
	if !(x >= 10) {
		return amount(math.Round(x*10) / 10)
	}
	p := math.Pow(10, math.Floor(math.Log10(x))-1)
	return thousands(fmt.Sprintf("%.0f", math.Round(x/p)*p))
}

// thousands sets digits apart in threes with a space that no line breaks at
// (the SI Brochure, 9th edition, 5.4.4).
func thousands(digits string) string {
	for i := len(digits) - 3; i > 0; i -= 3 {
		digits = digits[:i] + "\u00a0" + digits[i:]
	}
	return digits
}

func labText(c colour.Lab) string {
	return "L*\u00a0" + number(c.L, 1) + " a*\u00a0" + number(c.A, 1) + " b*\u00a0" + number(c.B, 1)
}

// GlintWords say how many single flakes glint on each cm² of skin.
func GlintWords(perCM2 float64) string { return count(perCM2) + " glints per\u00a0cm²" }
