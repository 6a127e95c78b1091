package shimmer

import (
	"fmt"
	"math"

	"tawny/blend/film"
)

func checkSize(s film.Size) error {
	if !(s.D50 > 0 && s.D50 < 5000) {
		return fmt.Errorf("the median flake is %g µm; above 0 to 5000 is accepted", s.D50)
	}
	if (s.D10 != 0 || s.D90 != 0) && !(s.D10 > 0 && s.D10 <= s.D50 && s.D50 <= s.D90 && s.D90/s.D10 < 100) {
		return fmt.Errorf("flake sizes d10, d50, d90 are %g, %g, %g µm; rising sizes are accepted", s.D10, s.D50, s.D90)
	}
	return nil
}

// atQuantile returns the diameter, µm, at the normal deviate z of a size
// weighted by dᵏ over the number of flakes.
func atQuantile(s film.Size, z, k float64) float64 {
	sd := s.Spread()
	return s.D50 * math.Exp((k-2)*sd*sd+sd*z)
}
