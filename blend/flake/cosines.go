package flake

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// Flakes in a film are asked for R and T at these many local incidences, in the
// escape cone and outside it: smooth in the cosine within the cone, fringed
// towards grazing.
const (
	SteepCosines   = 8
	GrazingCosines = 14
)

// Cosines returns the cosines of those incidences in a binder of a refractive
// index over 1, grazing ones first: Gauss points from 0 to the escape cone's
// edge √(1 − 1/n²) and from there to 1.
func Cosines(binder float64) []float64 {
	at, w := make([]float64, GrazingCosines+SteepCosines), make([]float64, GrazingCosines+SteepCosines)
	edge := math.Sqrt(1 - 1/(binder*binder))
	quad.Legendre{}.FixedLocations(at[:GrazingCosines], w[:GrazingCosines], 0, edge)
	quad.Legendre{}.FixedLocations(at[GrazingCosines:], w[GrazingCosines:], edge, 1)
	return at
}
