package search

import (
	"context"
	"fmt"
	"math"

	"tawny/blend/film"
	"tawny/colour"
)

// Rounded is a blend in weights a balance can show.
type Rounded struct {
	Grams      []float64 // g of each part, in the blend's order; whole steps
	Steps      []int     // the same, in steps
	TotalSteps int
	StepGrams  float64 // g, the balance's readability
	BatchGrams float64 // g of product
	Blend      Blend   // what the weights make
	// Costs is how much further from the target rounding leaves the blend, in
	// ΔE00 (or the root of the objective, of several goals). It can be below 0
	// where the load was rounded too.
	Costs float64
	Apart float64 // ΔE00 between the blend as asked and as weighed
	Every bool    // every way of rounding was tried; else those nearest by the quadratic model
}

// roundEvery is how many ways of weighing are tried one by one.
const roundEvery = 20_000

// Round finds the whole steps of a balance nearest a blend's look: of all
// weights that add up to the load, rounded to the nearest step, those that come
// nearest the request's targets. At most and at least limits of the request
// are kept where the load leaves room for it.
func Round(ctx context.Context, r Request, b Blend, batchGrams, stepGrams float64) (Rounded, error) {
	g, err := NewMixture(r, b.Parts)
	if err != nil {
		return Rounded{}, err
	}
	s, err := g.steps(ctx, b.Parts, batchGrams, stepGrams, roundEvery, 0)
	if err != nil {
		return Rounded{}, err
	}
	return s.rounded(b)
}

// rounding is one search for whole steps.
type rounding struct {
	*Mixture
	batch, step float64 // g
	k           int
	total       int
	lo, hi      [MostParts]int
	percent     float64 // of one step
	enough      float64 // an objective that will do
	best        [MostParts]int
	f           float64
	every       bool
}

// steps looks for the best whole steps of a balance, or for such as come to an
// objective of enough. Up to every ways of weighing are tried one by one.
func (mix *Mixture) steps(ctx context.Context, parts []film.Part, batchGrams, stepGrams float64, every int, enough float64) (*rounding, error) {
	if !(batchGrams > 0 && batchGrams <= 1e9) || !(stepGrams > 0 && stepGrams <= batchGrams) {
		return nil, fmt.Errorf("a batch of %g g on a balance of %g g steps; a step over 0 and a batch larger than it are accepted", batchGrams, stepGrams)
	}
	s := &rounding{Mixture: mix, batch: batchGrams, step: stepGrams, k: len(parts), percent: 100 * stepGrams / batchGrams, enough: enough, f: math.Inf(1)}
	exact := Percents(parts)
	load := 0.0
	for i := range s.k {
		load += exact[i]
	}
	s.total = int(math.Round(load / s.percent))
	if mix.r.LoadLo < mix.r.LoadHi && float64(s.total)*s.percent > mix.r.LoadHi*(1+1e-12) {
		s.total--
	}
	if s.total < 1 {
		return nil, fmt.Errorf("%.3g %% of %g g is less than half a step of the balance, %g g; weigh a larger batch or on a finer balance", load, batchGrams, stepGrams)
	}
	if err := s.bounds(parts); err != nil {
		return nil, err
	}
	s.every = s.ways() <= float64(every)
	if enough > 0 {
		s.plain(exact, load)
	}
	if s.f > enough {
		s.nearest(exact)
	}
	if s.every && s.f > enough {
		var n [MostParts]int
		s.all(ctx, 0, s.total, &n)
	}
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	if math.IsInf(s.f, 1) {
		return nil, fmt.Errorf("no whole steps of %g g in a batch of %g g keep the limits on the powders; weigh a larger batch or on a finer balance", stepGrams, batchGrams)
	}
	return s, nil
}

// rounded is a blend in the steps found.
func (q *rounding) rounded(b Blend) (out Rounded, err error) {
	out = Rounded{StepGrams: q.step, BatchGrams: q.batch, TotalSteps: q.total, Every: q.every}
	parts, exact := append([]film.Part(nil), b.Parts...), Percents(b.Parts)
	for i := range parts {
		out.Steps = append(out.Steps, q.best[i])
		out.Grams = append(out.Grams, stepsGrams(q.best[i], q.step))
		parts[i].Percent = float64(q.best[i]) * q.percent
	}
	if out.Blend, err = q.Blend(parts); err != nil {
		return out, err
	}
	out.Apart = colour.DeltaE00(q.Lab(exact), out.Blend.Lab)
	out.Costs = math.Sqrt(q.f) - math.Sqrt(q.Objective(exact))
	return out, nil
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
		for _, must := range q.r.Choice.Must {
			if sameName(must, name) {
				q.lo[i] = max(q.lo[i], 1)
			}
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

// ways is how many ways there are to share the total out, limits aside.
func (q *rounding) ways() float64 {
	w := 1.0
	for i := 1; i < q.k; i++ {
		w = w * float64(q.total+i) / float64(i)
	}
	return w
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

// all tries every way to share rest out over the parts from i on.
func (q *rounding) all(ctx context.Context, i, rest int, n *[MostParts]int) {
	if i == q.k-1 {
		if rest >= q.lo[i] && rest <= q.hi[i] {
			n[i] = rest
			q.try(n)
		}
		return
	}
	for v := q.lo[i]; v <= min(rest, q.hi[i]) && q.f > q.enough && ctx.Err() == nil; v++ {
		n[i] = v
		q.all(ctx, i+1, rest-v, n)
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
	// The real optimum of the total to be weighed, in steps.
	x := q.shares(exact)
	sum := 0.0
	for i := range q.k {
		sum += x[i]
	}
	want := float64(q.total) * q.percent * q.scale
	p := *q.p
	p.sumLo, p.sumHi = want, want
	p.powders = append([]powder(nil), q.p.powders...)
	for i := range q.k {
		u := &p.powders[i]
		u.lo, u.hi = float64(q.lo[i])*q.percent*q.scale, float64(q.hi[i])*q.percent*q.scale
		x[i] = math.Min(math.Max(x[i]*want/sum, u.lo), u.hi)
	}
	work := newSolver(&p)
	if y, ok := p.repair(q.index, x, want); ok {
		x = work.solve(q.index, &y, polished, false).x
	}
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
	if q.k == 1 {
		n := [MostParts]int{q.total}
		q.try(&n)
		return
	}
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
