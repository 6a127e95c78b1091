package search

import (
	"fmt"
	"math"

	"tawny/blend/film"
)

// Round returns the weights of a blend's parts, g, in whole steps of a balance: of all
// that add up to the load, rounded to the nearest step, those whose look comes nearest
// the request's targets. At most and at least limits of the request are kept.
func Round(r Request, parts []film.Part, batchGrams, stepGrams float64) ([]float64, error) {
	mix, err := NewMixture(r, parts)
	if err != nil {
		return nil, err
	}
	q, err := mix.steps(parts, batchGrams, stepGrams, 0)
	if err != nil {
		return nil, err
	}
	grams := make([]float64, q.k)
	for i := range grams {
		grams[i] = stepsGrams(q.best[i], stepGrams)
	}
	return grams, nil
}

// rounding is one search for whole steps.
type rounding struct {
	*Mixture
	k       int
	total   int
	lo, hi  [MostParts]int
	percent float64 // of one step
	enough  float64 // an objective that will do
	best    [MostParts]int
	f       float64
}

// steps looks for the best whole steps of a balance, or for such as come to an
// objective of enough.
func (mix *Mixture) steps(parts []film.Part, batchGrams, stepGrams float64, enough float64) (*rounding, error) {
	if !(batchGrams > 0 && batchGrams <= 1e9) || !(stepGrams > 0 && stepGrams <= batchGrams) {
		return nil, fmt.Errorf("a batch of %g g on a balance of %g g steps; a step over 0 and a batch larger than it are accepted", batchGrams, stepGrams)
	}
	q := &rounding{Mixture: mix, k: len(parts), percent: 100 * stepGrams / batchGrams, enough: enough, f: math.Inf(1)}
	exact, load := Percents(parts), film.LoadOf(parts)
	q.total = int(math.Round(load / q.percent))
	if q.total < 1 {
		return nil, fmt.Errorf("%.3g %% of %g g is less than half a step of the balance, %g g; weigh a larger batch or on a finer balance", load, batchGrams, stepGrams)
	}
	if err := q.bounds(parts); err != nil {
		return nil, err
	}
	q.plain(exact, load)
	if q.f > enough {
		q.nearest(exact)
	}
	if math.IsInf(q.f, 1) {
		return nil, fmt.Errorf("no whole steps of %g g in a batch of %g g keep the limits on the powders; weigh a larger batch or on a finer balance", stepGrams, batchGrams)
	}
	return q, nil
}

// stepsGrams is a whole number of steps in grams, the float nearest the
// decimal a balance of 1, 0.1, 0.01 … g shows.
func stepsGrams(n int, step float64) float64 {
	if inverse := math.Round(1 / step); step < 1 && math.Abs(inverse*step-1) < 1e-12 {
		return float64(n) / inverse
	}
	return float64(n) * step
}

// bounds sets the least and most steps of each powder.
func (q *rounding) bounds(parts []film.Part) error {
	least, most := 0, 0
	for i := range q.k {
		q.lo[i], q.hi[i] = 0, q.total
		name := parts[i].Pigment.Name
		l := q.r.Choice.Limit(name)
		q.lo[i] = max(q.lo[i], int(math.Ceil(l.AtLeast/q.percent-1e-9)))
		if l.AtMost > 0 {
			q.hi[i] = min(q.hi[i], int(math.Floor(l.AtMost/q.percent+1e-9)))
		}
		if q.lo[i] > q.hi[i] {
			return fmt.Errorf("powder %q: no whole step of the balance keeps its limits; weigh a larger batch or on a finer balance", name)
		}
		least += q.lo[i]
		most += q.hi[i]
	}
	if least > q.total || most < q.total {
		return fmt.Errorf("the load is %d steps of the balance but the limits on the powders allow %d to %d; weigh a larger batch or on a finer balance", q.total, least, most)
	}
	return nil
}

// try keeps n if it is the best so far; of equals the first in order.
func (q *rounding) try(n *[MostParts]int) {
	var p [MostParts]float64
	for i := range q.k {
		p[i] = float64(n[i]) * q.percent
	}
	if f := q.Objective(p[:q.k]); f < q.f {
		q.f, q.best = f, *n
	}
}

// plain tries each amount rounded so that none is a step off and all keep the total.
func (q *rounding) plain(exact []float64, load float64) {
	var n [MostParts]int
	sum, before := 0.0, 0
	for i := range q.k {
		sum += exact[i]
		upTo := int(math.Round(sum / load * float64(q.total)))
		n[i], before = upTo-before, upTo
		if n[i] < q.lo[i] || n[i] > q.hi[i] {
			return
		}
	}
	q.try(&n)
}

// nearest tries the lattice points nearest the optimum until one will do.
func (q *rounding) nearest(exact []float64) {
	if q.k == 1 {
		return // as plain has it
	}
	// The real optimum of the total to be weighed, in steps.
	lo, hi := make([]float64, q.k), make([]float64, q.k)
	for i := range q.k {
		lo[i], hi[i] = float64(q.lo[i])*q.percent, float64(q.hi[i])*q.percent
	}
	x, want := q.shares(exact), float64(q.total)*q.percent
	work, _ := q.walk(&x, lo, hi, want, want, polished)
	work.eval.choose(q.index)
	work.eval.all(&x)
	var c [MostParts]float64
	step := q.percent * q.scale
	h := work.eval.h
	for i := range q.k {
		c[i] = x[i] / step
		for j := range q.k {
			h[i][j] *= step * step
		}
	}
	t := newLattice(q.k, q.total, q.lo, q.hi, c, &h)
	t.search()
	for i := 0; i < len(t.best) && q.f > q.enough; i++ {
		q.try(&t.best[i].n)
	}
}

// repair brings x to the sum within its bounds, or reports that it cannot.
func (p *problem) repair(index []int, x [MostParts]float64, sum float64) ([MostParts]float64, bool) {
	rest := sum
	for i := range index {
		rest -= x[i]
	}
	for i, k := range index {
		u := &p.powders[k]
		d := math.Min(math.Max(rest, u.lo-x[i]), u.hi-x[i])
		x[i] += d
		rest -= d
	}
	return x, math.Abs(rest) < 1e-9*math.Abs(sum)
}
