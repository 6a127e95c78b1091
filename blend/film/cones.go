package film

import (
	"math"

	"tawny/blend/flake/grain"
	"tawny/blend/flake/mie"
	"tawny/colour"
)

// orders is how many Legendre moments of a phase function are used.
const orders = grain.Kept

// cones holds what the binder's index alone settles: light inside the escape
// cone (0) and outside it (1), σ-weighted and isotropic within each.
type cones struct {
	index    float64
	critical float64                // μc, cosine of the critical angle
	sigma    [2]float64             // share of Lambertian light
	root     [2]float64             // √σ
	width    [2]float64             // Δ, of cosines
	path     [2]float64             // l, mean path per depth
	cosine   [2]float64             // c, mean cosine
	rd       float64                // diffuse Fresnel reflection from outside
	integral [orders + 1][2]float64 // Λ, ∫ P_l(μ) dμ over the cone
}

func newCones(index float64) *cones {
	mc := math.Sqrt(1 - 1/(index*index))
	s1 := 1 / (index * index)
	c := &cones{index: index, critical: mc,
		sigma: [2]float64{s1, 1 - s1}, width: [2]float64{1 - mc, mc},
		path: [2]float64{2 / (1 + mc), 2 / mc}, cosine: [2]float64{(1 + mc) / 2, mc / 2},
		rd: colour.DiffuseFresnel(index),
	}
	c.root = [2]float64{math.Sqrt(s1), math.Sqrt(1 - s1)}
	// ∫ P_l from μ to 1 is (P_{l−1}(μ) − P_{l+1}(μ))/(2l+1); from 0 to 1 it is
	// nothing for even l, and the second cone is the rest.
	var at, zero [orders + 2]float64
	mie.Legendre(mc, at[:])
	mie.Legendre(0, zero[:])
	c.integral[0] = c.width
	for l := 1; l <= orders; l++ {
		top := (at[l-1] - at[l+1]) / float64(2*l+1)
		all := (zero[l-1] - zero[l+1]) / float64(2*l+1)
		c.integral[l] = [2]float64{top, all - top}
	}
	return c
}

// of returns which cone holds a cosine.
func (c *cones) of(mu float64) int {
	if mu > c.critical {
		return 0
	}
	return 1
}

// fresnelInside is the same from within, for a cosine in the binder: 1 outside
// the escape cone.
func fresnelInside(index, mu float64) float64 {
	out2 := 1 - index*index*(1-mu*mu)
	if out2 <= 0 {
		return 1
	}
	return colour.Fresnel(index, math.Sqrt(out2))
}
