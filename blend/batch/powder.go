package batch

import (
	"slices"

	"tawny/blend/batch/rules"
	"tawny/blend/palette"
)

// fineness is the largest particle of a mica colour additive, µm: 21 CFR
// 73.2496 takes its specification from 73.1496(b), which has 100 % pass a
// 100-mesh sieve, 150 µm.
const fineness = 150

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

// Oil absorption assumed where a powder's is not given, g per 100 g (common
// practice: pearl mica 60–90, iron oxides 15–40).
const (
	assumedFlakeOil = 75
	assumedOxideOil = 30
)

// Loose bulk density assumed where a powder's is not given, g/ml (common
// practice: pearl mica 0.15–0.4, iron oxides and titania 0.4–1.0).
const (
	assumedFlakeBulk = 0.25
	assumedOxideBulk = 0.7
)

// bulkDensity is the powder's loose density, g/ml, and whether it was assumed.
func bulkDensity(p *palette.Pigment) (float64, bool) {
	return orAssumed(p, p.BulkDensity, assumedFlakeBulk, assumedOxideBulk)
}

// oilAbsorption is the powder's, g per 100 g, and whether it was assumed.
func oilAbsorption(p *palette.Pigment) (float64, bool) {
	return orAssumed(p, p.OilAbsorption, assumedFlakeOil, assumedOxideOil)
}

// orAssumed is what is given of a powder, or what is assumed of its like.
func orAssumed(p *palette.Pigment, given, flake, oxide float64) (v float64, assumed bool) {
	switch {
	case given > 0:
		return given, false
	case isFlake(p):
		return flake, true
	}
	return oxide, true
}

// isFlake reports whether the powder is a platelet pigment.
func isFlake(p *palette.Pigment) bool { return p.Optics.Flake || len(p.Layers) > 0 || p.Substrate > 0 }
