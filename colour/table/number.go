package table

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// What is wrong with a number, said after it: 1,500 is one and a half or fifteen
// hundred.
var (
	errNumber    = errors.New("is not a number")
	errThousands = errors.New("may be a decimal or thousands (write it with a point or without the comma)")
)

// Finite reads a finite number, with a decimal point or a decimal comma, but
// not with a comma that may part thousands.
// ParseFloat also takes hexadecimal and underscores, which here are slips.
func Finite(s string) (float64, error) {
	s = strings.TrimSpace(s)
	if whole, part, ok := strings.Cut(s, ","); ok && len(part) == 3 && strings.Trim(whole, "+-0") != "" {
		return 0, errThousands
	}
	if strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
		s = strings.Replace(s, ",", ".", 1)
	}
	x, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(x) || math.IsInf(x, 0) || strings.ContainsAny(s, "xXpP_") {
		return 0, errNumber
	}
	return x, nil
}

// Number reads a finite number from lo to hi. The accept text says what the
// number is, such as "% w/w from 0 to 100".
func Number(s string, lo, hi float64) (float64, error) {
	v, err := Finite(s)
	if err != nil {
		return 0, fmt.Errorf("%q %w", Clip(s), err)
	}
	if v < lo || v > hi {
		return 0, fmt.Errorf("%s is outside %s to %s", s, trim(lo), trim(hi))
	}
	return v, nil
}

// Span reads `a-b` (or one number for both ends), each from lo to hi.
func Span(s string, lo, hi float64) (a, b float64, err error) {
	left, right, two := strings.Cut(s, "-")
	if !two {
		right = left
	}
	if a, err = Number(strings.TrimSpace(left), lo, hi); err != nil {
		return 0, 0, err
	}
	if b, err = Number(strings.TrimSpace(right), lo, hi); err != nil {
		return 0, 0, err
	}
	if a > b {
		return 0, 0, fmt.Errorf("%q runs from high to low", Clip(s))
	}
	return a, b, nil
}

func trim(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
