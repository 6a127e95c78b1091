package skin

import (
	"math"

	"tawny/colour"
)

// Undertone is a skin's hue against the median skin of its lightness, a
// convention of this tool.
//
// Both hues are taken with the surface's own light off and under D65/2, so a
// reading with and without gloss agree, and deep skin is not called cool for
// the grey sheen that makes up much of its reading.
type Undertone struct {
	Degrees   float64 // h − median, degrees: + towards yellow (warm), − towards red (cool)
	Word      string  // warm, neutral or cool; unclear where there is too little chroma
	Hue       float64 // h of the skin, degrees
	MedianHue float64 // h of the median skin of this lightness, degrees
}

// NeutralDegrees is how far from the median an undertone is called neutral:
// the median distance of the fitted subjects (2.8°) to the nearest half degree.
// 41 of the 75 are then neutral, 21 cool and 13 warm.
const NeutralDegrees = 3.0

// hueChroma is the least chroma at which a hue is given a word: there one unit
// of error turns the hue by 11.5°.
const hueChroma = 5.0

// HueCurve is the median hue of skin against lightness: a straight line
// between two lightnesses, those of the deepest and lightest fitted subjects,
// and level beyond them. All without the surface's own light.
type HueCurve struct {
	Low, High     float64 // L* of the deepest and lightest subject
	AtLow, AtHigh float64 // median h there, degrees
}

// At returns the median hue in degrees at a lightness.
func (c HueCurve) At(l float64) float64 {
	if c.High <= c.Low {
		return c.AtLow
	}
	t := math.Min(math.Max((l-c.Low)/(c.High-c.Low), 0), 1)
	return c.AtLow + t*(c.AtHigh-c.AtLow)
}

// undertoneOf takes a colour without the surface's own light.
func undertoneOf(c colour.Lab, curve HueCurve) Undertone {
	lch := c.LCh()
	u := Undertone{Hue: lch.H, MedianHue: curve.At(c.L), Word: "unclear"}
	u.Degrees = math.Remainder(u.Hue-u.MedianHue, 360)
	switch {
	case lch.C < hueChroma:
	case u.Degrees > NeutralDegrees:
		u.Word = "warm"
	case u.Degrees < -NeutralDegrees:
		u.Word = "cool"
	default:
		u.Word = "neutral"
	}
	return u
}
