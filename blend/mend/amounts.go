package mend

import (
	"cmp"
	"math"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/colour/leastsquares"
)

// amounts are the factors on a film's powders that give colours wanted of it. The
// unknowns are their logarithms, 0 for as they are; what is minimised is
//
//	½ Σ ΔE00²/error² + ½ Σ (ln factor)²/spread²
//
// over the films.
type amounts struct {
	films  []*sample
	wanted []colour.Lab
	errors []float64 // ΔE00, one standard deviation of each
	free   []int     // the powders that may change, by their place in the films
	spread float64   // how far factors are thought to lie from 1, relative
	parts  int       // powders of a film
}

// find returns the factors, one for each powder, each within most times more or
// less (0 for any).
func (a *amounts) find(most float64) ([]float64, error) {
	x := make([]float64, len(a.free))
	s := leastsquares.Settings{Damping: 1e-6, Gain: 1e-10}
	if most > 0 {
		for range x {
			s.Low, s.High = append(s.Low, -math.Log(most)), append(s.High, math.Log(most))
		}
	}
	var w leastsquares.Workspace
	_, err := w.Minimise(&leastsquares.Residuals{Count: 3*len(a.films) + len(x), At: a.residuals}, x, s)
	return a.factors(x), err
}

// factors writes the unknowns out over all powders.
func (a *amounts) factors(x []float64) []float64 {
	list := make([]float64, a.parts)
	for i := range list {
		list[i] = 1
	}
	for i, p := range a.free {
		list[p] = math.Exp(x[i])
	}
	return list
}

// residuals fills r with three of each film, then one of each unknown.
func (a *amounts) residuals(x, r []float64) error {
	for k, f := range a.films {
		lab, err := f.lab(a.factors(x))
		if err != nil {
			return err
		}
		for c, part := range colour.Residuals00(a.wanted[k], lab) {
			r[3*k+c] = part / a.errors[k]
		}
	}
	for i, v := range x {
		r[3*len(a.films)+i] = v / a.spread
	}
	return nil
}

// recipeSpread is how far a recipe's powders may move before it costs a whole
// ΔE00²: a tenth more or less costs 0.03 ΔE00, nothing seen, and is enough to
// keep the recipe near the old one where many would do.
var recipeSpread = 0.1 / math.Sqrt(1e-3)

// BringBack changes a recipe as little as brings its colour, worn, to the
// wanted one, by the free parts alone. No powder goes below half or above twice
// what it was.
func BringBack(w film.Worn, wanted colour.Lab, free []int) ([]film.Part, error) {
	w.Light = cmp.Or(w.Light, colour.D65)
	a := amounts{films: []*sample{{worn: w}}, wanted: []colour.Lab{wanted}, errors: []float64{1}, free: free, spread: recipeSpread, parts: len(w.Parts)}
	factor, err := a.find(2)
	if err != nil {
		return nil, err
	}
	parts := append([]film.Part(nil), w.Parts...)
	for i := range parts {
		parts[i].Percent *= factor[i]
	}
	return parts, nil
}
