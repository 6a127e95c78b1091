package batch

import (
	"fmt"
	"slices"

	"tawny/blend/batch/rules"
	"tawny/blend/palette"
)

// fineness is the largest particle of a mica colour additive, µm: 21 CFR
// 73.2496 takes its specification from 73.1496(b), which has 100 % pass a
// 100-mesh sieve, 150 µm.
const fineness = 150

// fineEnough refuses flakes that cannot be within the fineness of the mica
// colour additive.
func fineEnough(p *palette.Pigment) error {
	if size, name := tooCoarse(p); name != "" {
		return fmt.Errorf("powder %s has %s %.4g µm; over %d µm is outside the fineness of the mica colour additive (%s), so it is refused for cosmetics", p.Name, name, size, fineness, finenessSource)
	}
	return nil
}

const finenessSource = "21 CFR 73.1496(b) by way of 73.2496"

// tooCoarse is the size, µm, and the name of the percentile that passes the
// fineness; no name for a powder that may be within it. A powder's d90 is not
// always given, and then its middle says enough.
func tooCoarse(p *palette.Pigment) (float64, string) {
	if !isFlake(p) && !holdsMica(p) {
		return 0, ""
	}
	switch {
	case p.D90 > fineness:
		return p.D90, "d90"
	case p.D50 > fineness:
		return p.D50, "d50"
	}
	return 0, ""
}

// holdsMica reports whether the powder has mica in it.
func holdsMica(p *palette.Pigment) bool {
	return slices.ContainsFunc(coloursOf(p), func(c *rules.Colour) bool { return c.INCI == "Mica" })
}
