package film

import (
	"errors"
	"fmt"
	"math"
	"sync"

	"gonum.org/v1/gonum/integrate/quad"

	"tawny/colour"
)

// DefaultIndex is the refractive index taken for the binder: oils and dried
// lotion films lie at 1.45 to 1.48 (common practice).
const DefaultIndex = 1.47

// Surface is the boundary between binder and air as one geometry of reading
// meets it. The zero Surface is no boundary at all: reflectances inside and in
// air are the same.
type Surface struct {
	Index float64 // refractive index of the binder
	K1    float64 // share of the light turned back at entry (Fresnel)
	K2    float64 // share of diffuse light from inside turned back
	P     float64 // share of K1 the reading includes: 1 specular included, 0 excluded, 45°:0°, photo
	Tau   float64 // share of the beam that gets out
	TauC  float64 // share of the beam that meets the surface inside the escape cone
}

// Entry is how the light falls on the surface. By reciprocity a sphere reading
// at 8° (d:8) is light at 8°, near enough to the zero Entry.
type Entry struct {
	Deg     float64 // degrees from the normal, in air; 0 to below 90
	Diffuse bool    // from all sides alike, Deg ignored
}

// The entries met in practice.
var (
	Normal    = Entry{}
	At45      = Entry{Deg: 45}
	FromRound = Entry{Diffuse: true}
)

// ErrIndex and ErrAngle are returned for numbers no binder or lamp has.
var (
	ErrIndex = errors.New("film: a binder's refractive index lies between 1 and 3")
	ErrAngle = errors.New("film: an angle of light lies from 0° to below 90°")
)

// NewSurface computes a surface from the binder's index, the light's entry,
// the share of the surface's own mirror reflection the reading includes (0 to
// 1), and how the flakes are tilted. The tilt's integrals take milliseconds
// and the same few surfaces come up again and again, so they are kept.
func NewSurface(index float64, entry Entry, included float64, tilt Tilt) (Surface, error) {
	key := surfaceKey{index, entry, included, tilt}
	keptSurfaces.RLock()
	s, ok := keptSurfaces.by[key]
	keptSurfaces.RUnlock()
	if ok {
		return s, nil
	}
	s, err := newSurface(index, entry, included, tilt)
	if err != nil {
		return s, err
	}
	keptSurfaces.Lock()
	defer keptSurfaces.Unlock()
	if len(keptSurfaces.by) >= mostSurfaces {
		clear(keptSurfaces.by)
	}
	keptSurfaces.by[key] = s
	return s, nil
}

const mostSurfaces = 1000

type surfaceKey struct {
	index    float64
	entry    Entry
	included float64
	tilt     Tilt
}

var keptSurfaces = struct {
	sync.RWMutex
	by map[surfaceKey]Surface
}{by: map[surfaceKey]Surface{}}

func newSurface(index float64, entry Entry, included float64, tilt Tilt) (Surface, error) {
	s := Surface{Index: index, P: included}
	if !(index >= 1 && index <= 3) {
		return s, fmt.Errorf("%w, got %g", ErrIndex, index)
	}
	if !(included >= 0 && included <= 1) {
		return s, fmt.Errorf("film: the share of mirror reflection included lies between 0 and 1, got %g", included)
	}
	if !entry.Diffuse && !(entry.Deg >= 0 && entry.Deg < 90) {
		return s, fmt.Errorf("%w, got %g°", ErrAngle, entry.Deg)
	}
	if err := tilt.check(); err != nil {
		return s, err
	}
	s.K1 = entry.reflectance(index)
	// What is turned back outside and inside are tied by the escape cone,
	// which holds 1/n² of diffuse light.
	s.K2 = 1 - (1-DiffuseFresnel(index))/(index*index)
	s.Tau, s.TauC = tilt.escape(index, entry)
	return s, nil
}

func (e Entry) reflectance(index float64) float64 {
	if e.Diffuse {
		return DiffuseFresnel(index)
	}
	return Fresnel(index, math.Cos(e.Deg*math.Pi/180))
}

// Fresnel returns the reflectance of the outside of a smooth surface of the
// given index for unpolarised light whose angle in air has the given cosine.
func Fresnel(index, cos float64) float64 {
	in := math.Sqrt(1 - (1-cos*cos)/(index*index))
	s := (cos - index*in) / (cos + index*in)
	p := (in - index*cos) / (in + index*cos)
	if index == 1 {
		return 0
	}
	return (s*s + p*p) / 2
}

// DiffuseFresnel returns the outside reflectance for light from all sides
// alike, 2∫F(μ)μ dμ. F is smooth in the cosine μ, so 32 Gauss points give
// every digit.
func DiffuseFresnel(index float64) float64 {
	return quad.Fixed(func(mu float64) float64 { return 2 * mu * Fresnel(index, mu) }, 0, 1, 32, quad.Legendre{}, 0)
}

// Above returns what is read in air of reflectance ri below the surface, of
// which beam is flakes' first reflection:
//
//	R = p·k1 + (1−k1) [ P τ + (Ri − P τc)(1−k2)/(1−k2 Ri) ]
//
// A beam of 0 gives Saunderson's correction.
func (s *Surface) Above(ri, beam float64) float64 {
	return s.P*s.K1 + (1-s.K1)*(beam*s.Tau+(ri-beam*s.TauC)*(1-s.K2)/(1-s.K2*ri))
}

// ErrDark means a reading is no brighter than the mirror reflection of the
// surface it was taken through; ErrBright that it is brighter than a perfect
// white under that surface.
var (
	ErrDark   = errors.New("no brighter than the surface's own reflection")
	ErrBright = errors.New("brighter than a perfect white under the surface")
)

// Below is Above backwards for a ground without flakes: the reflectance just
// below the surface of one that reads rm. It clips nothing: a reading that no
// ground could give is ErrDark or ErrBright.
func (s *Surface) Below(rm float64) (float64, error) {
	d := rm - s.P*s.K1
	if !(d > 0) {
		return 0, fmt.Errorf("reflectance %.4g is %w, %.4g", rm, ErrDark, s.P*s.K1)
	}
	rg := d / ((1-s.K1)*(1-s.K2) + s.K2*d)
	// A perfect white comes back as 1 within a rounding or two.
	if !(rg <= 1+1e-14) {
		return 0, fmt.Errorf("reflectance %.4g is %w, %.4g", rm, ErrBright, s.Above(1, 0))
	}
	return min(rg, 1), nil
}

// BelowAll is Below in every band; an error names the wavelength.
func (s *Surface) BelowAll(rm *colour.Spectrum) (colour.Spectrum, error) {
	var rg colour.Spectrum
	for i, v := range rm {
		g, err := s.Below(v)
		if err != nil {
			return rg, fmt.Errorf("at %g nm: %w", colour.WavelengthNM(i), err)
		}
		rg[i] = g
	}
	return rg, nil
}
