package film

import (
	"tawny/colour"
	"tawny/colour/skin"
)

// Under is what a film lies on, as seen from within the binder.
type Under struct {
	Below colour.Spectrum // reflectance just below the surface
	// Mirror is the share kept of the surface reflection that the conventions
	// would take off: 1 but on grounds too dark for it, and shown when less.
	Mirror float64
}

// Ground takes the surface off a reading r of bare skin, or of a card, with the
// binder's index: see [skin.SurfaceOf].
func (f *Film) Ground(g colour.Geometry, r *colour.Spectrum) (Under, error) {
	s, err := f.bare(g)
	if err != nil {
		return Under{}, err
	}
	below, share, err := s.Below(r)
	return Under{below, share}, err
}

// Card takes the surface off a reading of a card under the binder alone: smooth, it
// mirrors as the binder does and throws nothing sideways, and no film on it has a
// skin's haze.
func (f *Film) Card(g colour.Geometry, r *colour.Spectrum) (Under, error) {
	s, err := f.bare(g)
	if err != nil {
		return Under{}, err
	}
	s.Mirror = 0
	if g == colour.DI {
		s.Mirror = colour.Fresnel(f.Index, towards(skin.SphereDeg)[2])
	}
	below, _, err := s.Below(r)
	return Under{Below: below}, err
}

// under is what a ground is seen as from within the binder.
func (f *Film) under(g *Ground) (Under, error) {
	if g.Card {
		return f.Card(g.Geometry, &g.Reflectance)
	}
	return f.Ground(g.Geometry, &g.Reflectance)
}

// Bare is Ground backwards: the reading of a ground with no film on it.
func (f *Film) Bare(g colour.Geometry, ground *Under) (colour.Spectrum, error) {
	s, err := f.bare(g)
	return s.Read(&ground.Below, ground.Mirror), err
}

// bare is a bare ground's surface in one geometry.
func (f *Film) bare(g colour.Geometry) (skin.Surface, error) {
	return skin.SurfaceOf(g, f.Index, skin.HazeShare+f.HazeOff)
}
