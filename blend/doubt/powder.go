package doubt

import (
	"math"
	"slices"
	"strings"

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
	coatSpreadDoubt                   = 0.02       // of the coat's spread from flake to flake, 0.05
	indexDoubt                        = 0.02       // relative, of the coat's n (from memory of films of one oxide)
	absorbDoubt                       = 0.25       // relative, of the coat's k: published ones differ by as much (from memory)
)

// untested is the residual, ΔE00, of a fit that nothing was left to test: the
// bound of drawdown's verdict use with care.
const untested = 1.0

// ModelledGrain is the same for an ordinary pigment that was not measured, of
// its K and S apart, relative (guess).
const ModelledGrain = 0.20

// unsaidDispersion is how well the strength of a fine powder is known that was
// rubbed in by hand and whose drawer does not say: of its grains 0.6 ± 0.2 lie
// apart (common practice).
const unsaidDispersion = 0.2 / 0.6

// LotToLot is how far the strength of a lot lies from that of the next of the
// same powder, relative, one sigma (common practice: tinting strength is sold to
// ± 10 %).
const LotToLot = 0.05

// OfPowder returns the doubt of a powder by its source, for a binder of the
// given refractive index. note is what a measured powder's file says of its
// fit; without it a measured powder counts as the fit's least claim, a verdict
// of use with care. A powder of another lot than was fitted has LotToLot besides.
func OfPowder(g *palette.Pigment, binder float64, note *palette.FitNote) (Powder, error) {
	return ofPowder(g, note, func(coat float64) ([]Change, error) { return ofCoat(g, binder, coat) })
}

// MostQuickChanges is the most changes that [Quick] gives.
const MostQuickChanges = 2

// Quick is OfPowder without a note and without computing a coat again: thicker by a
// share, it does what it did at wavelengths longer by that share, as far as what it
// mirrors goes. That is most of what is doubted of it.
func Quick(g *palette.Pigment) Powder {
	d, _ := ofPowder(g, nil, func(coat float64) ([]Change, error) { return []Change{shifted(g, coat)}, nil })
	return d
}

func ofPowder(g *palette.Pigment, note *palette.FitNote, ofCoat func(coat float64) ([]Change, error)) (Powder, error) {
	if note != nil {
		d := Powder{Strength: math.Hypot(note.StrengthError, g.StrengthDoubt()), Residual: note.Residual}
		if note.Readings < 3 {
			// Two readings leave no residual to judge by.
			d.Residual = untested
		}
		if OtherLot(g, note) {
			d.Strength = math.Hypot(d.Strength, LotToLot)
		}
		return d, nil
	}
	var err error
	coat, strength := modelledCoat, modelledStrength
	switch g.Source {
	case palette.Measured:
		return Powder{Strength: math.Hypot(0.1, g.StrengthDoubt()), Residual: untested}, nil
	case palette.Guessed, palette.Demo:
		coat, strength = guessedCoat, guessedStrength
		if len(g.Layers) > 0 && g.Doubt > 0 {
			coat = g.Doubt // as far as its label or its smear told
		}
	}
	if g.Spectrum != "" {
		d := Powder{Strength: g.StrengthDoubt(), Changes: make([]Change, 2)}
		if g.Dispersion == 0 {
			d.Strength = unsaidDispersion
		}
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
	if d.Changes, err = ofCoat(coat); err != nil {
		return d, err
	}
	return d, nil
}

// OtherLot reports whether a powder is of another lot than was fitted.
func OtherLot(g *palette.Pigment, note *palette.FitNote) bool {
	return g.Lot != "" && note.Lot != "" && !strings.EqualFold(g.Lot, note.Lot)
}

// ofCoat returns what a coat's doubts change: its thickness, how much it varies
// from flake to flake, and where it absorbs its constants.
func ofCoat(g *palette.Pigment, binder, coat float64) ([]Change, error) {
	f := g.Flake(binder)
	thick, thin, varied, dark := f, f, f, f
	coat = math.Hypot(coat, indexDoubt) // both turn the phase of a coat alike
	thick.Coats, thin.Coats = thicker(g.Layers, 1+coat), thicker(g.Layers, 1-coat)
	varied.CoatSpread += coatSpreadDoubt
	dark.AbsorbOff = absorbDoubt
	var o [4]flake.Optics
	clear := slices.Max(g.Optics.K[:]) < 1e-6
	for i, changed := range [4]flake.Flake{thick, thin, varied, dark} {
		if i == 3 && clear {
			break // what absorbs nothing is as clear with any k
		}
		var err error
		if o[i], err = changed.Optics(); err != nil {
			return nil, err
		}
	}
	as := flake.Optics{K: g.Optics.K, S: g.Optics.S}
	list := []Change{between(g, &o[0], &o[1], 2), between(g, &o[2], &as, 1)}
	if !clear {
		list = append(list, between(g, &o[3], &as, 1))
	}
	return list, nil
}

// between returns a share of a change, so much that one sigma down leaves neither
// K nor S below 0.
func between(g *palette.Pigment, up, down *flake.Optics, by float64) (c Change) {
	for j := range c.K {
		c.K[j], c.S[j] = (up.K[j]-down.K[j])/by, (up.S[j]-down.S[j])/by
		c.K[j] = math.Copysign(min(math.Abs(c.K[j]), g.Optics.K[j]), c.K[j])
		c.S[j] = math.Copysign(min(math.Abs(c.S[j]), g.Optics.S[j]), c.S[j])
	}
	return c
}

// shifted moves S along the spectrum by the doubt of a coat's thickness and index.
func shifted(g *palette.Pigment, coat float64) (c Change) {
	coat = math.Hypot(coat, indexDoubt)
	s := &g.Optics.S
	for j := range s {
		lo, hi := max(j-1, 0), min(j+1, colour.Bands-1)
		slope := (s[hi] - s[lo]) / (colour.WavelengthNM(hi) - colour.WavelengthNM(lo))
		c.S[j] = -coat * colour.WavelengthNM(j) * slope
		c.S[j] = math.Copysign(min(math.Abs(c.S[j]), s[j]), c.S[j])
	}
	return c
}

// thicker returns coats with every thickness times by.
func thicker(coats []flake.Layer, by float64) []flake.Layer {
	list := make([]flake.Layer, len(coats))
	for i, c := range coats {
		list[i] = flake.Layer{Material: c.Material, ThicknessNM: c.ThicknessNM * by}
	}
	return list
}
