package skin

import (
	"fmt"
	"math"

	"tawny/colour"
)

// Geometry is how a colour is lit and read, by CIE 15's letters.
type Geometry string

// The four geometries a reading may have.
const (
	SphereIncluded Geometry = "di"    // 8°, all directions collected, gloss with them
	SphereExcluded Geometry = "de"    // 8°, all directions but the mirror's
	FortyFive      Geometry = "45"    // 45° in, square on out
	PhotoEven      Geometry = "photo" // light from all round, seen square on, no gloss
)

// geometryOf returns what a reading says of its geometry.
func geometryOf(r colour.Reading) Geometry {
	if r.Excluded {
		return SphereExcluded
	}
	return SphereIncluded
}

// SurfaceIndex is the refractive index of skin's outermost layer: 1.36 to 1.45
// is published for epidermis and dermis in the visible (Ding et al., Phys. Med.
// Biol. 51:1479, 2006, from memory).
const SurfaceIndex = 1.40

// HazeShare is how much of its surface reflection skin throws sideways, into a
// reading that leaves the mirror's direction out; ± 0.2. A convention until it
// is measured: skin is neither a mirror (0) nor matt paper (1).
const HazeShare = 0.35

// LeastBelow is the least reflectance that is left to come from below the
// surface. Where a reading has less the surface is taken to have returned less.
const LeastBelow = 0.002

// mirror returns skin's own surface reflection in a geometry, 0.028 at 0° and
// 0.037 at 45°, and the usual share of it that the reading sees.
func (g Geometry) mirror() (reflection, share float64) {
	switch g {
	case SphereExcluded:
		return mirror0, HazeShare
	case FortyFive:
		return mirror45, HazeShare
	case PhotoEven:
		return mirror0, 0
	}
	return mirror0, 1
}

var mirror0, mirror45 = fresnel(SurfaceIndex, 0), fresnel(SurfaceIndex, 45)

// passes returns the share of light that passes a surface of index n going in,
// and of light from below, diffuse, that passes it going out towards the
// reading: (1 − F)(1 − F_v), with the diffuse reflection r_d for F_v where all
// directions count alike.
func (g Geometry) passes(n float64) float64 {
	if g == FortyFive {
		return (1 - fresnel(n, 45)) * (1 - fresnel(n, 0))
	}
	return (1 - fresnel(n, 0)) * (1 - diffuseFresnel(n))
}

// Ground returns the reflectance ρ of skin just under a binder of index n, from
// its reflectance r read bare in a geometry,
//
//	r = h F_s + (1 − F)(1 − F_v) ρ / (n² (1 − Kρ)),  K = 1 − (1 − r_d)/n²
//
// and the share h of skin's surface reflection F_s that was taken off: the
// usual share, or less where that would leave under [LeastBelow]. Every
// reflectance over 0 has a ρ; one brighter than a perfect white under the
// surface has none and is an error.
//
// The index is the binder's for bare and filmed skin alike: what lies over the
// tissue does not change the cone that leaves it, so a clear film changes gloss
// alone.
func (g Geometry) Ground(r *colour.Spectrum, n float64) (ground colour.Spectrum, haze float64, err error) {
	mirror, haze := g.mirror()
	least := r[0]
	for _, x := range r {
		least = math.Min(least, x)
	}
	haze = math.Max(0, math.Min(haze, (least-LeastBelow)/mirror))
	pass, inner := g.passes(n)/(n*n), 1-(1-diffuseFresnel(n))/(n*n)
	for i, x := range r {
		d := x - haze*mirror
		ground[i] = d / (pass + inner*d)
		if !(ground[i] > 0 && ground[i] < 1) {
			return ground, haze, fmt.Errorf("reflectance %.4g at %g nm; over 0 and under %.4g, a perfect white under the surface, is accepted", x, colour.WavelengthNM(i), haze*mirror+pass/(1-inner))
		}
	}
	return ground, haze, nil
}

// fromIncluded returns the straight line from skin's reflectance as a sphere
// with gloss reads it to what another geometry reads: scale·r + offset.
func (g Geometry) fromIncluded() (scale, offset float64) {
	mirror, haze := g.mirror()
	scale = g.passes(SurfaceIndex) / SphereIncluded.passes(SurfaceIndex)
	return scale, haze*mirror - scale*mirror0
}

// fresnel returns the reflection of unpolarised light that meets a smooth
// surface of index n at an angle from its normal, in degrees outside.
func fresnel(n, degrees float64) float64 {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	inside := math.Sqrt(1 - sin*sin/(n*n))
	s := (cos - n*inside) / (cos + n*inside)
	p := (n*cos - inside) / (n*cos + inside)
	return (s*s + p*p) / 2
}

// diffuseFresnel returns the reflection of light from all sides alike by a
// smooth surface of index n, from outside: 0.074 at 1.40, 0.087 at 1.47 (Walsh
// 1926, as in Judd, J. Res. NBS 29:329, 1942).
func diffuseFresnel(n float64) float64 {
	n2 := n * n
	n4 := n2 * n2
	return 0.5 + (n-1)*(3*n+1)/(6*(n+1)*(n+1)) +
		n2*(n2-1)*(n2-1)/math.Pow(n2+1, 3)*math.Log((n-1)/(n+1)) -
		2*n*n2*(n2+2*n-1)/((n2+1)*(n4-1)) +
		8*n4*(n4+1)/((n2+1)*(n4-1)*(n4-1))*math.Log(n)
}
