package skin

import (
	"errors"
	"fmt"
	"math"

	"tawny/colour"
)

// SurfaceIndex is the refractive index of skin's outermost layer: 1.36 to 1.45
// is published for epidermis and dermis in the visible (Ding et al., Phys. Med.
// Biol. 51:1479, 2006, from memory).
const SurfaceIndex = 1.40

// HazeShare is how much of its surface reflection skin throws sideways, into a
// reading that leaves the mirror's direction out, and HazeDoubt its standard
// error. A convention until it is measured: skin is neither a mirror (0) nor matt
// paper (1).
const (
	HazeShare = 0.35
	HazeDoubt = 0.2
)

// LeastBelow is the least reflectance that is left to come from below the
// surface. Where a reading has less the surface is taken to have returned less.
const LeastBelow = 0.002

// SphereDeg is the angle from the normal at which a sphere reads (CIE 15); by
// reciprocity light comes from there.
const SphereDeg = 8

// Surface is how the surface of bare skin meets a reading r of what lies below
// it, of reflectance ρ:
//
//	r = Mirror + Through ρ/(1 − Kept ρ)
type Surface struct {
	Mirror  float64 // h F_s: of the surface's own reflection, what the reading sees
	Through float64 // (1−F)(1−F_v)/n², diffuse 1−r_d for 1−F_v where all directions count alike
	Kept    float64 // K = 1 − (1−r_d)/n²
}

// SurfaceOf returns the surface in a geometry. n is the binder's index for bare
// and filmed skin alike: what lies over the tissue does not change the cone that
// leaves it, so a clear film changes gloss alone. F_s is skin's own, of
// [SurfaceIndex]: 0.028 at 0°, 0.037 at 45°. A sphere with gloss sees all of it, one
// without and 45:0 the share haze, usually [HazeShare], and a photo none.
func SurfaceOf(g colour.Geometry, n, haze float64) (Surface, error) {
	rd := colour.DiffuseFresnel(n)
	in, out, share := 1.0, 1-rd, haze
	switch g {
	case colour.DI:
		in, share = cosSphere, 1
	case colour.DE:
		in = cosSphere
	case colour.At45:
		in, out = cos45, 1-colour.Fresnel(n, 1)
	case colour.Photo:
		share = 0
	default:
		return Surface{}, fmt.Errorf("geometry %q; di, de, 45 or photo is accepted", string(g))
	}
	return Surface{
		Mirror:  share * colour.Fresnel(SurfaceIndex, in),
		Through: (1 - colour.Fresnel(n, in)) * out / (n * n),
		Kept:    1 - (1-rd)/(n*n),
	}, nil
}

const cos45 = math.Sqrt2 / 2

var cosSphere = math.Cos(SphereDeg * math.Pi / 180)

// ErrReading is returned for reflectances nothing has.
var ErrReading = errors.New("a reflectance lies between 0 and 1")

// Below takes the surface off a reading. Where the whole mirror would leave under
// [LeastBelow] in some band less of it is taken off: share tells how much, 1 but on
// the darkest.
func (s Surface) Below(r *colour.Spectrum) (below colour.Spectrum, share float64, err error) {
	share = 1
	for b, v := range r {
		if !(v > 0 && v < 1) {
			return below, 0, fmt.Errorf("at %g nm: %w, got %.4g", colour.WavelengthNM(b), ErrReading, v)
		}
		if s.Mirror > 0 {
			share = min(share, max(0, (v-LeastBelow)/s.Mirror))
		}
	}
	return s.Without(r, share), share, nil
}

// Without takes the surface off a reading, with a share of the mirror. Under a reading
// of less than that lies less than nothing.
func (s Surface) Without(r *colour.Spectrum, share float64) (below colour.Spectrum) {
	for b, v := range r {
		v -= share * s.Mirror
		below[b] = v / (s.Through + s.Kept*v)
	}
	return below
}

// Read is Without backwards: what is read of it, with a share of the mirror.
func (s Surface) Read(below *colour.Spectrum, share float64) (r colour.Spectrum) {
	for b, v := range below {
		r[b] = share*s.Mirror + s.Through*v/(1-s.Kept*v)
	}
	return r
}

// fromIncluded returns the straight line from skin's reflectance as a sphere
// with gloss reads it to what another geometry reads: scale·r + offset.
func fromIncluded(g colour.Geometry) (scale, offset float64) {
	from, err := SurfaceOf(colour.DI, SurfaceIndex, HazeShare)
	if err != nil {
		panic(err)
	}
	to, err := SurfaceOf(g, SurfaceIndex, HazeShare)
	if err != nil {
		panic(err)
	}
	scale = to.Through / from.Through
	return scale, to.Mirror - scale*from.Mirror
}
