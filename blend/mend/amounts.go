package mend

import (
	"cmp"
	"math"

	"gonum.org/v1/gonum/mat"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/colour/leastsquares"
)

// amounts is the problem of the factors on a film's powders that give colours
// wanted of it. Its unknowns are their logarithms, 0 for as they are; it
// minimises
//
//	½ Σ ΔE00²/error² + ½ Σ (ln factor)²/spread²
//
// over the films, with derivatives by differences.
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
	if _, err := w.Minimise(a, x, s); err != nil {
		return nil, err
	}
	return a.factors(x), nil
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

// Cost is the sum at x.
func (a *amounts) Cost(x []float64) (float64, error) {
	sum := 0.0
	for _, v := range x {
		sum += v * v / (2 * a.spread * a.spread)
	}
	for k, f := range a.films {
		lab, err := f.lab(a.factors(x))
		if err != nil {
			return 0, err
		}
		sum += colour.DeltaE00Squared(lab, a.wanted[k]) / (2 * a.errors[k] * a.errors[k])
	}
	return sum, nil
}

// Normal is Gauss–Newton's of the same.
func (a *amounts) Normal(x, g []float64, h *mat.SymDense) error {
	h.Zero()
	stiff := 1 / (a.spread * a.spread)
	for i, v := range x {
		g[i] = v * stiff
		h.SetSym(i, i, stiff)
	}
	const d = 1e-4
	slope := make([][3]float64, len(x))
	moved := append([]float64(nil), x...)
	for k, f := range a.films {
		at, err := f.lab(a.factors(x))
		if err != nil {
			return err
		}
		for i := range x {
			moved[i] = x[i] + d
			lab, err := f.lab(a.factors(moved))
			if err != nil {
				return err
			}
			moved[i] = x[i]
			slope[i] = [3]float64{(lab.L - at.L) / d, (lab.A - at.A) / d, (lab.B - at.B) / d}
		}
		_, gradient, metric := colour.DeltaE00Gradient(at, a.wanted[k])
		weight := 1 / (2 * a.errors[k] * a.errors[k])
		for i := range x {
			for c := range 3 {
				g[i] += weight * gradient[c] * slope[i][c]
			}
			for j := range i + 1 {
				sum := 0.0
				for c := range 3 {
					for e := range 3 {
						sum += slope[i][c] * metric[c][e] * slope[j][e]
					}
				}
				h.SetSym(i, j, h.At(i, j)+weight*sum)
			}
		}
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
