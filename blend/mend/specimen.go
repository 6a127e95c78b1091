package mend

import (
	"fmt"
	"math"

	"tawny/blend/film"
	"tawny/blend/search"
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

// Specimen is how a batch was laid before the eye or the instrument. The zero
// Specimen is on the request's skin, as the request has it applied.
type Specimen struct {
	Where   Where           // "" means OnSkin
	Apply   float64         // mg/cm² of product: 0 means the request's on skin, and must be given for a drawdown
	Base    *film.Base      // of the product as it was read; nil means the request's. A jar of lotion is read wet: see film.WetLotion
	Viewing *colour.Viewing // nil means the request's light
	// Geometry is how it was read; "" is taken as with a sphere, gloss included.
	Geometry colour.Geometry
}

// sample is a specimen with powders in it, complete.
type sample struct {
	worn   film.Worn // Light is that of the reading
	inJar  bool
	asWorn bool // as the request would have it worn, so that what the model misses here it misses there, in whatever geometry
}

// with completes a specimen from the request, with the powders in it.
func (e Specimen) with(r *search.Request, parts []film.Part) (*sample, error) {
	l := &sample{worn: film.Worn{Ground: r.Ground, Geometry: e.Geometry.Assumed(), Base: r.Base, Apply: e.Apply, SurfaceShare: r.SurfaceShare, Light: e.Viewing, Parts: parts}}
	w := &l.worn
	if w.Light == nil {
		w.Light = r.Light
	}
	if e.Base != nil {
		w.Base = *e.Base
	}
	switch e.Where {
	case "", OnSkin:
		if e.Apply == 0 {
			w.Apply, w.Tilt = r.Apply, r.Tilt
		}
		l.asWorn = e.Base == nil && w.Light == r.Light && math.Abs(w.Apply-r.Apply) < 1e-9
	case OnWhite:
		w.Ground = film.Ground{Reflectance: colour.Constant(WhiteCard), Card: true}
		if e.Apply == 0 {
			return nil, fmt.Errorf("a drawdown needs the amount drawn down; mg/cm² over 0 and at most %g is accepted", film.MaxApply)
		}
	case InJar:
		l.inJar = true
		return l, nil
	default:
		return nil, fmt.Errorf("seen on %q; %s, %s or %s is accepted", e.Where, OnSkin, InJar, OnWhite)
	}
	if !(w.Apply > 0 && w.Apply <= film.MaxApply) {
		return nil, fmt.Errorf("seen at %g mg/cm²; more than 0 and at most %g is accepted", w.Apply, film.MaxApply)
	}
	return l, nil
}

// lab predicts the colour with the powders in other amounts, one factor each;
// nil leaves them as they are.
func (l *sample) lab(factor []float64) (colour.Lab, error) {
	w := l.worn
	w.Parts = append([]film.Part(nil), w.Parts...)
	for i, f := range factor {
		w.Parts[i].Percent *= f
	}
	predict := film.Diffuse
	if l.inJar {
		predict = film.InTheJar
	}
	r, err := predict(w)
	return w.Light.Lab(&r), err
}

// Expected returns the colour a batch should have as it is looked at, were its
// powders as strong as their data say: the middle of the first pair.
func Expected(r search.Request, s Specimen, b Batch) (colour.Lab, error) {
	r, err := r.WithDefaults()
	if err != nil {
		return colour.Lab{}, err
	}
	l, err := s.with(&r, b.Parts())
	if err != nil {
		return colour.Lab{}, err
	}
	return l.lab(nil)
}
