package search

import (
	"fmt"
	"math"
	"slices"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// Mixture tells what amounts of given powders look like under a request, over
// and over, without allocating. Amounts are in % w/w of the product.
type Mixture struct {
	r     Request // with its defaults taken
	p     *problem
	e     *evaluator
	index []int
	scale float64 // shares for a per cent
}

// NewMixture makes one of the powders of parts; the request's choices do not
// bind it.
func NewMixture(r Request, parts []film.Part) (*Mixture, error) {
	if len(parts) == 0 || len(parts) > MostParts {
		return nil, fmt.Errorf("%d powders in a blend; 1 to %d are accepted", len(parts), MostParts)
	}
	r, err := r.WithDefaults()
	if err != nil {
		return nil, err
	}
	use := make([]*palette.Pigment, len(parts))
	for i, part := range parts {
		if part.Pigment == nil {
			return nil, fmt.Errorf("part %d of the blend names no powder", i+1)
		}
		if !(part.Percent >= 0 && part.Percent <= 100) {
			return nil, fmt.Errorf("powder %q at %g %%; 0 to 100 is accepted", part.Pigment.Name, part.Percent)
		}
		use[i] = part.Pigment
	}
	free := r
	free.Choice, free.Looks = Choice{}, false
	m := &Mixture{r: r, scale: 1 / r.LoadHi}
	if m.p, err = free.problem(use, make([]bool, len(use))); err != nil {
		return nil, err
	}
	m.e = newEvaluator(m.p)
	for i := range use {
		m.index = append(m.index, i)
	}
	m.e.choose(m.index)
	return m, nil
}

// Objective returns the request's, Σ weight·ΔE00², for amounts in per cent.
func (mix *Mixture) Objective(percent []float64) float64 {
	x := mix.shares(percent)
	return mix.e.value(&x)
}

// Seen returns the objective of amounts in per cent, what they miss of the
// request's shimmer in the same units, and the diffuse colour. What is missing is
// not looked at where the shade alone is farther than a ΔE00 within.
func (mix *Mixture) Seen(percent []float64, within float64) (objective, missing float64, lab colour.Lab) {
	x, e := mix.shares(percent), mix.e
	e.film(&x, false)
	objective, lab = e.shade(), mix.r.Light.Lab(&e.r[0])
	if e.p.wish.binds() && mix.r.Distance(objective) <= within {
		missing = e.lacking(&x)
	}
	return objective, missing, lab
}

// Walk takes amounts in per cent to the nearest optimum within bounds of each and of
// their sum; false where nothing is.
func (mix *Mixture) Walk(percent, lo, hi []float64, sumLo, sumHi float64) bool {
	x := mix.shares(percent)
	_, ok := mix.walk(&x, lo, hi, sumLo, sumHi, settled)
	for i := range percent {
		percent[i] = x[i] / mix.scale
	}
	return ok
}

// walk is Walk of shares, by the solver that went there.
func (mix *Mixture) walk(x *[MostParts]float64, lo, hi []float64, sumLo, sumHi float64, until stop) (work *solver, ok bool) {
	p := *mix.p
	p.sumLo, p.sumHi = sumLo*mix.scale, sumHi*mix.scale
	p.powders = slices.Clone(p.powders)
	sum := 0.0
	for i := range mix.index {
		p.powders[i].lo, p.powders[i].hi = lo[i]*mix.scale, hi[i]*mix.scale
		sum += x[i]
	}
	want := math.Min(math.Max(sum, p.sumLo), p.sumHi)
	for i := range mix.index {
		x[i] = math.Min(math.Max(x[i]*want/sum, p.powders[i].lo), p.powders[i].hi)
	}
	work = newSolver(&p)
	y, ok := p.repair(mix.index, *x, want)
	if ok {
		*x = work.solve(mix.index, &y, until, false).x
	}
	return work, ok
}

func (mix *Mixture) shares(percent []float64) (x [MostParts]float64) {
	for i := range mix.index {
		x[i] = percent[i] * mix.scale
	}
	return x
}

// Percents returns the amounts of parts, % w/w.
func Percents(parts []film.Part) []float64 {
	p := make([]float64, len(parts))
	for i := range parts {
		p[i] = parts[i].Percent
	}
	return p
}
