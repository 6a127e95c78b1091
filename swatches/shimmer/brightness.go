package shimmer

import (
	"math"

	"tawny/blend/film"
)

// brightness is how bright the glints of one size of flake are against their
// mean. A flake shows in proportion to its Ω, which is a steady part for lamp
// and eye and a part for diffraction that goes as 1/d²; so the diameters of
// those that show come from two log-normal distributions, one weighted by
// number and one by number/d². Each is as bright as its face is large and its
// Ω small: d² / Ω.
type brightness struct {
	steady float64                     // share of glints that come from the first
	table  [2][brightnessSteps]float64 // by quantile
}

const brightnessSteps = 1024

func newBrightness(z film.Size, blur film.Blur) *brightness {
	b := &brightness{steady: blur.Steady(z)}
	mean := 0.0
	for part, weight := range [2]float64{b.steady, 1 - b.steady} {
		for i := range b.table[part] {
			// The middle of the step in probability.
			u := (float64(i) + 0.5) / brightnessSteps
			d := atQuantile(z, math.Sqrt2*math.Erfinv(2*u-1), -2*float64(part))
			v := d * d / blur.At(d)
			b.table[part][i] = v
			mean += weight * v / brightnessSteps
		}
	}
	for part := range b.table {
		for i := range b.table[part] {
			b.table[part][i] /= mean
		}
	}
	return b
}

// at returns the brightness at a quantile u, and v to choose between the two
// distributions; both 0 to 1.
func (b *brightness) at(u, v float64) float64 {
	part := 0
	if v > b.steady {
		part = 1
	}
	return b.table[part][min(int(u*brightnessSteps), brightnessSteps-1)]
}

// atQuantile returns the diameter, µm, at the normal deviate z of a size
// weighted by dᵏ over the number of flakes.
func atQuantile(s film.Size, z, k float64) float64 {
	sd := s.Spread()
	return s.D50 * math.Exp((k-2)*sd*sd+sd*z)
}
