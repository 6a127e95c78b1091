package skin

import (
	"fmt"
	"math"

	"tawny/colour"
)

// geometryOf returns what a reading says of its geometry.
func geometryOf(r colour.Reading) colour.Geometry {
	if r.Excluded {
		return colour.DE
	}
	return colour.DI
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
func mirror(g colour.Geometry) (reflection, share float64) {
	switch g {
	case colour.DE:
		return mirror0, HazeShare
	case colour.At45:
		return mirror45, HazeShare
	case colour.Photo:
		return mirror0, 0
	}
	return mirror0, 1
}

var mirror0, mirror45 = colour.Fresnel(SurfaceIndex, 1), colour.Fresnel(SurfaceIndex, cos45)

const cos45 = math.Sqrt2 / 2

// passes returns the share of light that passes a surface of index n going in,
// and of light from below, diffuse, that passes it going out towards the
// reading: (1 − F)(1 − F_v), with the diffuse reflection r_d for F_v where all
// directions count alike.
func passes(g colour.Geometry, n float64) float64 {
	if g == colour.At45 {
		return (1 - colour.Fresnel(n, cos45)) * (1 - colour.Fresnel(n, 1))
	}
	return (1 - colour.Fresnel(n, 1)) * (1 - colour.DiffuseFresnel(n))
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
func Ground(g colour.Geometry, r *colour.Spectrum, n float64) (ground colour.Spectrum, haze float64, err error) {
	surface, haze := mirror(g)
	least := r[0]
	for _, x := range r {
		least = math.Min(least, x)
	}
	haze = math.Max(0, math.Min(haze, (least-LeastBelow)/surface))
	pass, inner := passes(g, n)/(n*n), 1-(1-colour.DiffuseFresnel(n))/(n*n)
	for i, x := range r {
		d := x - haze*surface
		ground[i] = d / (pass + inner*d)
		if !(ground[i] > 0 && ground[i] < 1) {
			return ground, haze, fmt.Errorf("reflectance %.4g at %g nm; over 0 and under %.4g, a perfect white under the surface, is accepted", x, colour.WavelengthNM(i), haze*surface+pass/(1-inner))
		}
	}
	return ground, haze, nil
}

// fromIncluded returns the straight line from skin's reflectance as a sphere
// with gloss reads it to what another geometry reads: scale·r + offset.
func fromIncluded(g colour.Geometry) (scale, offset float64) {
	surface, haze := mirror(g)
	scale = passes(g, SurfaceIndex) / passes(colour.DI, SurfaceIndex)
	return scale, haze*surface - scale*mirror0
}
