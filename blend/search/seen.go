package search

import (
	"fmt"
	"math"

	"tawny/blend/film"
	"tawny/colour"
)

// Where is where a batch's colour was read.
type Where string

// The places a colour is read.
const (
	OnSkin  Where = "skin"     // worn, on the skin it is meant for
	InJar   Where = "jar"      // the product too deep to see through
	OnWhite Where = "drawdown" // drawn down on a white card
)

// WhiteCard is the reflectance taken for a white drawdown card where none was
// read: sealed white card returns about 0.85 (common practice).
const WhiteCard = 0.85

// Seen is how a batch's colour was looked at. The zero Seen is on the
// request's skin, as the request has it applied.
type Seen struct {
	Where   Where           // "" means OnSkin
	Apply   float64         // mg/cm² of product: 0 means the request's on skin, and must be given for a drawdown
	Tilt    float64         // degrees; 0 means that of the amount
	Ground  *film.Ground    // nil means the request's skin, or WhiteCard
	Base    *film.Base      // of the product as it was read; nil means the request's. A jar of lotion is read wet: see WetLotion
	Viewing *colour.Viewing // nil means the request's light
}

// sight predicts the colour of a product seen some way.
type sight struct {
	seen    Seen
	ground  film.Ground
	base    film.Base
	viewing *colour.Viewing
	parts   []film.Part // powders and amounts, % w/w
}

// sightOf completes how a batch was seen from the request.
func sightOf(r *Request, seen Seen, parts []film.Part) (*sight, error) {
	s := &sight{seen: seen, ground: r.Ground, base: r.Base, viewing: seen.Viewing, parts: parts}
	if s.viewing == nil {
		s.viewing = r.Light
	}
	if seen.Ground != nil {
		s.ground = *seen.Ground
	}
	if seen.Base != nil {
		s.base = *seen.Base
	}
	switch seen.Where {
	case "", OnSkin:
		s.seen.Where = OnSkin
		if seen.Apply == 0 {
			s.seen.Apply = r.Apply
			if seen.Tilt == 0 {
				s.seen.Tilt = r.Tilt
			}
		}
	case OnWhite:
		if seen.Ground == nil {
			s.ground = film.Ground{Reflectance: colour.Constant(WhiteCard)}
		}
		if seen.Apply == 0 {
			return nil, fmt.Errorf("a drawdown needs the amount drawn down; mg/cm² over 0 and at most %g is accepted", film.MaxApply)
		}
	case InJar:
		return s, nil
	default:
		return nil, fmt.Errorf("seen on %q; %s, %s or %s is accepted", seen.Where, OnSkin, InJar, OnWhite)
	}
	if !(s.seen.Apply > 0 && s.seen.Apply <= film.MaxApply) {
		return nil, fmt.Errorf("seen at %g mg/cm²; more than 0 and at most %g is accepted", s.seen.Apply, film.MaxApply)
	}
	return s, nil
}

// lab predicts the colour, each powder as strong as strength says (nil: as
// listed).
func (s *sight) lab(strength []float64) (colour.Lab, error) {
	w := film.Worn{Ground: s.ground, Base: s.base, Apply: s.seen.Apply, Tilt: s.seen.Tilt}
	w.Parts = append(w.Parts, s.parts...)
	for i := range strength {
		w.Parts[i].Percent *= strength[i]
	}
	if s.seen.Where == InJar {
		r, err := film.InTheJar(w)
		return s.viewing.Lab(&r), err
	}
	r, err := film.Diffuse(w)
	return s.viewing.Lab(&r), err
}

// asWorn reports whether a batch was seen as the request would have it worn, so
// that what the model missed there it will miss again.
func (s *sight) asWorn(r *Request) bool {
	return s.seen.Where == OnSkin && s.seen.Ground == nil && s.seen.Base == nil && s.viewing == r.Light && math.Abs(s.seen.Apply-r.Apply) < 1e-9
}
