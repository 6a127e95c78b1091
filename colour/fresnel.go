package colour

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

// Fresnel returns the reflectance of the outside of a smooth surface of the
// given index for unpolarised light whose angle in air has the given cosine.
func Fresnel(index, cos float64) float64 {
	if index == 1 {
		return 0
	}
	in := math.Sqrt(1 - (1-cos*cos)/(index*index))
	s := (cos - index*in) / (cos + index*in)
	p := (in - index*cos) / (in + index*cos)
	return (s*s + p*p) / 2
}

// DiffuseFresnel returns the outside reflectance for light from all sides
// alike, 2∫F(μ)μ dμ. F is smooth in the cosine μ, so 32 Gauss points give
// every digit.
func DiffuseFresnel(index float64) float64 {
	return quad.Fixed(func(mu float64) float64 { return 2 * mu * Fresnel(index, mu) }, 0, 1, 32, quad.Legendre{}, 0)
}
