package doubt

import (
	"math"

	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
)

// What is taken for the doubt of a powder nobody has measured, one sigma. None
// of these is measured: a coat of a bought powder lies within some per cent of
// what its name suggests, and how strongly a gram of it colours depends on
// flake thickness and broken flakes (guesses, from memory of how grades of one
// name differ).
const (
	modelledCoat, guessedCoat         = 0.05, 0.10 // relative, of the coat's thickness
	modelledStrength, guessedStrength = 0.15, 0.25 // relative
)

// untested is the residual, ΔE00, of a fit that nothing was left to test: the
// bound of drawdown's verdict use with care.
const untested = 1.0

// ModelledGrain is the same for an ordinary pigment that was not measured, of
// its K and S apart, relative (guess).
const ModelledGrain = 0.20

// OfPowder returns the doubt of a powder by its source, for a binder of the
// given refractive index. note is what a measured powder's file says of its
// fit; without it a measured powder counts as the fit's least claim, a verdict
// of use with care.
func OfPowder(g *palette.Pigment, binder float64, note *palette.FitNote) (Powder, error) {
	if note != nil {
		d := Powder{Strength: note.StrengthError, Residual: note.Residual}
		if note.Readings < 3 {
			// Two readings leave no residual to judge by.
			d.Residual = untested
		}
		return d, nil
	}
	coat, strength := modelledCoat, modelledStrength
	switch g.Source {
	case palette.Measured:
		return Powder{Strength: 0.1, Residual: untested}, nil
	case palette.Guessed, palette.Demo:
		coat, strength = guessedCoat, guessedStrength
	}
	if g.Spectrum != "" {
		d := Powder{Changes: make([]Change, 2)}
		for j := range g.Optics.K {
			d.Changes[0].K[j] = ModelledGrain * g.Optics.K[j]
			d.Changes[1].S[j] = ModelledGrain * g.Optics.S[j]
		}
		return d, nil
	}
	d := Powder{Strength: strength}
	if len(g.Layers) == 0 {
		return d, nil
	}
	// Thicker and thinner coats: half the difference is the one-sigma change.
	var k, s [2]colour.Spectrum
	for i, by := range [2]float64{1 + coat, 1 - coat} {
		f := g.Flake(binder)
		f.Coats = thicker(g.Layers, by)
		area, err := f.FaceArea()
		if err != nil {
			return d, err
		}
		r, _, a, err := f.Incoming()
		if err != nil {
			return d, err
		}
		for j := range r {
			s[i][j], k[i][j] = area*r[j], area*a[j]
		}
	}
	var c Change
	for j := range c.K {
		c.K[j], c.S[j] = (k[0][j]-k[1][j])/2, (s[0][j]-s[1][j])/2
		// One sigma down must leave neither below 0.
		c.K[j] = math.Copysign(min(math.Abs(c.K[j]), g.Optics.K[j]), c.K[j])
		c.S[j] = math.Copysign(min(math.Abs(c.S[j]), g.Optics.S[j]), c.S[j])
	}
	d.Changes = []Change{c}
	return d, nil
}

// thicker returns coats with every thickness times by.
func thicker(coats []flake.Layer, by float64) []flake.Layer {
	list := make([]flake.Layer, len(coats))
	for i, c := range coats {
		list[i] = flake.Layer{Material: c.Material, ThicknessNM: c.ThicknessNM * by}
	}
	return list
}
