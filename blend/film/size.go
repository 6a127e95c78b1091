package film

import (
	"math"

	"tawny/blend/palette"
)

// Size is the diameter of flakes, as percentiles by volume in µm, which is how
// grades are sold. Flakes of one powder are about equally thick, so volume
// counts as face area; the diameters are taken as log-normal.
type Size struct{ D10, D50, D90 float64 }

// SizeOf returns the size of a powder's flakes.
func SizeOf(g *palette.Pigment) Size { return Size{g.D10, g.D50, g.D90} }

// z90 is the standard normal's 90 % point.
const z90 = 1.2815515655446004

// Spread returns the standard deviation of ln d; 0 where only the median is
// known.
func (z Size) Spread() float64 {
	if !(z.D10 > 0 && z.D90 > z.D10) {
		return 0
	}
	return math.Log(z.D90/z.D10) / (2 * z90)
}

// Moment returns the mean of dᵏ over the number of flakes, µmᵏ. Weighted by
// area ln d is normal about ln d50, so by number about ln d50 − 2·spread².
func (z Size) Moment(k float64) float64 {
	v := z.Spread() * z.Spread()
	return math.Exp(k*(math.Log(z.D50)-2*v) + k*k*v/2)
}

// PerCM2 returns how many flakes of this size lie over a cm² of skin when
// their faces add up to faceArea, cm² in each cm² (face area per mass times
// areal mass). The outline is taken as a disc.
func (z Size) PerCM2(faceArea float64) float64 {
	const cm2PerUM2 = 1e-8
	return faceArea / (math.Pi / 4 * z.Moment(2) * cm2PerUM2)
}
