package film

import (
	"fmt"

	"tawny/colour"
	"tawny/colour/skin"
)

// Under is what a film lies on, as seen from within the binder.
type Under struct {
	Below colour.Spectrum // reflectance just below the surface
	// Mirror is the share kept of the surface reflection that the conventions
	// would take off: 1 but on skin too dark for it, and shown when less; 0 on a card.
	Mirror float64
	card   bool
}

// Ground takes the surface off a reading r of bare skin with the binder's index:
// see [skin.SurfaceOf].
func (f *Film) Ground(g colour.Geometry, r *colour.Spectrum) (Under, error) {
	return f.under(&Ground{Reflectance: *r, Geometry: g})
}

// under is what a ground is seen as from within the binder.
func (f *Film) under(g *Ground) (Under, error) {
	s, err := f.bare(g.Geometry, g.Card)
	if err != nil {
		return Under{}, err
	}
	below, share, err := s.Below(&g.Reflectance)
	if !g.Card || err != nil {
		return Under{Below: below, Mirror: share}, err
	}
	for b, v := range g.Reflectance {
		if v < s.Mirror-skin.LeastBelow {
			return Under{}, fmt.Errorf("at %g nm: a sphere with gloss reads at least %.3f of a card under a binder of index %.3g, got %.4g; was it read without gloss?", colour.WavelengthNM(b), s.Mirror, f.Index, v)
		}
	}
	// A card's mirror is known, so all of it comes off: by a reading's own error less
	// than nothing may be left, which reads back as it was.
	return Under{Below: s.Without(&g.Reflectance, 1), card: true}, nil
}

// Bare is the way back: the reading of a ground with no film on it.
func (f *Film) Bare(g colour.Geometry, ground *Under) (colour.Spectrum, error) {
	s, err := f.bare(g, ground.card)
	share := ground.Mirror
	if ground.card {
		share = 1
	}
	return s.Read(&ground.Below, share), err
}

// bare is a bare ground's surface in one geometry.
func (f *Film) bare(g colour.Geometry, card bool) (skin.Surface, error) {
	s, err := skin.SurfaceOf(g, f.Index, skin.HazeShare+f.HazeOff)
	if card {
		s.Mirror = 0
		if g == colour.DI {
			s.Mirror = colour.Fresnel(f.Index, towards(skin.SphereDeg)[2])
		}
	}
	return s, err
}
