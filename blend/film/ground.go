package film

import (
	"errors"
	"fmt"

	"tawny/colour"
	"tawny/colour/skin"
)

// ErrReading is returned for reflectances no ground has.
var ErrReading = errors.New("a reflectance lies between 0 and 1")

// Under is what a film lies on, as seen from within the binder.
type Under struct {
	Below colour.Spectrum // reflectance just below the surface
	// Mirror is the share kept of the surface reflection that the conventions
	// would take off: 1 but on grounds too dark for it, and shown when less.
	Mirror float64
}

// Ground takes the surface off a reading r of bare skin, or of a card:
//
//	r = h F_s + (1−F)(1−F_v) ρ/(n²(1−Kρ)),   K = 1 − (1−r_d)/n²
//
// with the binder's index throughout, for what lies over tissue does not change
// the cone that leaves it: a clear film changes gloss alone. For spheres 1−r_d
// stands in place of 1−F_v. h F_s is at most what leaves 0.002 in every band;
// Mirror tells the share that is.
func (f *Film) Ground(g colour.Geometry, r *colour.Spectrum) (Under, error) {
	c, err := f.bare(g)
	if err != nil {
		return Under{}, err
	}
	out := Under{Mirror: 1}
	for b, v := range r {
		if !(v > 0 && v < 1) {
			return Under{}, fmt.Errorf("at %g nm: %w, got %.4g", colour.WavelengthNM(b), ErrReading, v)
		}
		if c.mirror > 0 {
			out.Mirror = min(out.Mirror, max(0, (v-skin.LeastBelow)/c.mirror))
		}
	}
	for b, v := range r {
		v -= out.Mirror * c.mirror
		out.Below[b] = v / (c.through + c.kept*v)
	}
	return out, nil
}

// Bare is Ground backwards: the reading of a ground with no film on it.
func (f *Film) Bare(g colour.Geometry, ground *Under) (colour.Spectrum, error) {
	var r colour.Spectrum
	c, err := f.bare(g)
	if err != nil {
		return r, err
	}
	for b, v := range ground.Below {
		r[b] = ground.Mirror*c.mirror + c.through*v/(1-c.kept*v)
	}
	return r, nil
}

// bare is a bare ground's surface in one geometry.
type bare struct {
	mirror  float64 // h F_s
	through float64 // (1−F)(1−F_v)/n²
	kept    float64 // K
}

func (f *Film) bare(g colour.Geometry) (bare, error) {
	n2 := f.Index * f.Index
	b := bare{kept: 1 - (1-f.cones.rd)/n2}
	in, out := 1.0, 1-f.cones.rd
	switch g {
	case colour.DI, colour.DE:
		in = towards(sphereDeg)[2]
		b.mirror = colour.Fresnel(skin.SurfaceIndex, in)
		if g == colour.DE {
			b.mirror *= skin.HazeShare
		}
	case colour.At45:
		in = towards(45)[2]
		out = 1 - colour.Fresnel(f.Index, 1)
		b.mirror = skin.HazeShare * colour.Fresnel(skin.SurfaceIndex, in)
	case colour.Photo:
	default:
		return b, fmt.Errorf("film: geometry %q; di, de, 45 or photo is accepted", string(g))
	}
	b.through = (1 - colour.Fresnel(f.Index, in)) * out / n2
	return b, nil
}
