package shimmer

import (
	"fmt"
	"math"
)

// Size is the diameter of flakes, as percentiles by volume in µm, which is how
// grades are sold. Flakes of one powder are about equally thick, so volume
// counts as face area; the diameters are taken as log-normal.
type Size struct{ D10, D50, D90 float64 }

func (s Size) check() error {
	if !(s.D50 > 0 && s.D50 < 5000) {
		return fmt.Errorf("the median flake is %g µm; above 0 to 5000 is accepted", s.D50)
	}
	if (s.D10 != 0 || s.D90 != 0) && !(s.D10 > 0 && s.D10 <= s.D50 && s.D50 <= s.D90 && s.D90/s.D10 < 100) {
		return fmt.Errorf("flake sizes d10, d50, d90 are %g, %g, %g µm; rising sizes are accepted", s.D10, s.D50, s.D90)
	}
	return nil
}

// z90 is the standard normal's 90 % point.
const z90 = 1.2815515655446004

// spread is the standard deviation of ln d.
func (s Size) spread() float64 {
	if s.D10 == 0 || s.D90 == 0 {
		return 0
	}
	return math.Log(s.D90/s.D10) / (2 * z90)
}

// moment returns the mean of dᵏ over the number of flakes, µmᵏ. Weighted by
// area ln d is normal about ln d50, so by number about ln d50 − 2·spread².
func (s Size) moment(k float64) float64 {
	v := s.spread() * s.spread()
	return math.Exp(k*(math.Log(s.D50)-2*v) + k*k*v/2)
}

// PerCM2 returns how many flakes of this size lie over a cm² of skin when
// their faces add up to faceArea, cm² in each cm² (face area per mass times
// areal mass). The outline is taken as a disc.
func (s Size) PerCM2(faceArea float64) float64 {
	const cm2PerUM2 = 1e-8
	return faceArea / (math.Pi / 4 * s.moment(2) * cm2PerUM2)
}

// atQuantile returns the diameter, µm, at the normal deviate z of the
// distribution weighted by dᵏ over the number of flakes.
func (s Size) atQuantile(z, k float64) float64 {
	sd := s.spread()
	return s.D50 * math.Exp((k-2)*sd*sd+sd*z)
}
