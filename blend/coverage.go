package blend

import (
	"math"

	"tawny/blend/film"
)

// TiltFor returns the flake tilt, degrees, that goes with an application in
// mg/cm²: the named coverages' own, between them linear in the logarithm of
// the amount, and beyond them the nearest's. A convention of this tool: the
// harder a shimmer is rubbed in, the less its flakes lie flat.
func TiltFor(apply float64) float64 {
	list := film.Coverages
	if apply <= list[0].MgPerCM2 {
		return list[0].SigmaDeg
	}
	for i := 1; i < len(list); i++ {
		a, b := list[i-1], list[i]
		if apply <= b.MgPerCM2 {
			t := math.Log(apply/a.MgPerCM2) / math.Log(b.MgPerCM2/a.MgPerCM2)
			return a.SigmaDeg + t*(b.SigmaDeg-a.SigmaDeg)
		}
	}
	return list[len(list)-1].SigmaDeg
}
