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
	return g.round(ctx, b, batchGrams, stepGrams, roundEvery)
}

// rounding is one search for whole steps.
type rounding struct {
	*Mixture
	k       int
	total   int
	lo, hi  [MostParts]int
	percent float64 // of one step
	best    [MostParts]int
	f       float64
}

func (g *Mixture) round(ctx context.Context, b Blend, batchGrams, stepGrams float64, every int) (Rounded, error) {
	if !(batchGrams > 0 && batchGrams <= 1e9) || !(stepGrams > 0 && stepGrams <= batchGrams) {
		return Rounded{}, fmt.Errorf("a batch of %g g on a balance of %g g steps; a step over 0 and a batch larger than it are accepted", batchGrams, stepGrams)
	}
	s := &rounding{Mixture: g, k: len(b.Parts), percent: 100 * stepGrams / batchGrams, f: math.Inf(1)}
	exact := Percents(b.Parts)
	load := 0.0
	for i := range s.k {
		load += exact[i]
	}
	s.total = int(math.Round(load / s.percent))
	if g.r.LoadLo < g.r.LoadHi && float64(s.total)*s.percent > g.r.LoadHi*(1+1e-12) {
		s.total--
	}
	if s.total < 1 {
		return Rounded{}, fmt.Errorf("%.3g %% of %g g is less than half a step of the balance, %g g; weigh a larger batch or on a finer balance", load, batchGrams, stepGrams)
	}
	if err := s.bounds(b.Parts); err != nil {
		return Rounded{}, err
	}
	out := Rounded{StepGrams: stepGrams, BatchGrams: batchGrams, TotalSteps: s.total}
	switch {
	case s.ways() <= float64(every):
		out.Every = true
		var n [MostParts]int
		s.all(ctx, 0, s.total, &n)
	default:
		s.nearest(exact)
	}
	if err := ctx.Err(); err != nil {
		return Rounded{}, err
	}
	if math.IsInf(s.f, 1) {
		return Rounded{}, fmt.Errorf("no whole steps of %g g in a batch of %g g keep the limits on the powders; weigh a larger batch or on a finer balance", stepGrams, batchGrams)
	}
	parts := append([]film.Part(nil), b.Parts...)
	for i := range parts {
		out.Steps = append(out.Steps, s.best[i])
		out.Grams = append(out.Grams, stepsGrams(s.best[i], stepGrams))
		parts[i].Percent = float64(s.best[i]) * s.percent
	}
	var err error
	if out.Blend, err = g.Blend(parts); err != nil {
		return Rounded{}, err
	}
	was := g.Lab(exact)
	out.Apart = colour.DeltaE00(was, out.Blend.Lab)
	out.Costs = math.Sqrt(s.f) - math.Sqrt(g.Objective(exact))
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
func (s *rounding) bounds(parts []film.Part) error {
	least, most := 0, 0
	for i := range s.k {
		s.lo[i], s.hi[i] = 0, s.total
		name := parts[i].Pigment.Name
		l := s.r.Choice.Limit(name)
		s.lo[i] = max(s.lo[i], int(math.Ceil(l.AtLeast/s.percent-1e-9)))
		if l.AtMost > 0 {
			s.hi[i] = min(s.hi[i], int(math.Floor(l.AtMost/s.percent+1e-9)))
		}
		for _, must := range s.r.Choice.Must {
			if sameName(must, name) {
				s.lo[i] = max(s.lo[i], 1)
			}
		}
		if s.lo[i] > s.hi[i] {
			return fmt.Errorf("powder %q: no whole step of the balance keeps its limits; weigh a larger batch or on a finer balance", name)
		}
		least += s.lo[i]
		most += s.hi[i]
	}
	if least > s.total || most < s.total {
		return fmt.Errorf("the load is %d steps of the balance but the limits on the powders allow %d to %d; weigh a larger batch or on a finer balance", s.total, least, most)
	}
	return nil
}

// ways is how many ways there are to share the total out, limits aside.
func (s *rounding) ways() float64 {
	w := 1.0
	for i := 1; i < s.k; i++ {
		w = w * float64(s.total+i) / float64(i)
	}
	return w
}

// try keeps n if it is the best so far; of equals the first in order.
func (s *rounding) try(n *[MostParts]int) {
	var p [MostParts]float64
	for i := range s.k {
		p[i] = float64(n[i]) * s.percent
	}
	if f := s.Objective(p[:s.k]); f < s.f {
		s.f, s.best = f, *n
	}
}

// all tries every way to share rest out over the parts from i on.
func (s *rounding) all(ctx context.Context, i, rest int, n *[MostParts]int) {
	if i == s.k-1 {
		if rest >= s.lo[i] && rest <= s.hi[i] {
			n[i] = rest
			s.try(n)
		}
		return
	}
	for v := s.lo[i]; v <= min(rest, s.hi[i]) && ctx.Err() == nil; v++ {
		n[i] = v
		s.all(ctx, i+1, rest-v, n)
	}
}

// nearest tries the lattice points nearest the optimum, then improves the best
// by moving steps from one powder to another until none helps.
func (s *rounding) nearest(exact []float64) {
	// The real optimum of the total to be weighed, in steps.
	x := s.shares(exact)
	sum := 0.0
	for i := range s.k {
		sum += x[i]
	}
	want := float64(s.total) * s.percent * s.scale
	p := *s.p
	p.sumLo, p.sumHi = want, want
	p.powders = append([]powder(nil), s.p.powders...)
	for i := range s.k {
		u := &p.powders[i]
		u.lo, u.hi = float64(s.lo[i])*s.percent*s.scale, float64(s.hi[i])*s.percent*s.scale
		x[i] = math.Min(math.Max(x[i]*want/sum, u.lo), u.hi)
	}
	work := newSolver(&p)
	if y, ok := p.repair(s.index, x, want); ok {
		x = work.solve(s.index, &y, polished).x
	}
	work.eval.choose(s.index)
	work.eval.all(&x)
	var c [MostParts]float64
	step := s.percent * s.scale
	h := work.eval.h
	for i := range s.k {
		c[i] = x[i] / step
		for j := range s.k {
			h[i][j] *= step * step
		}
	}
	t := newLattice(s.k, s.total, s.lo, s.hi, c, &h)
	if s.k == 1 {
		n := [MostParts]int{s.total}
		s.try(&n)
		return
	}
	t.search()
	for i := range t.best {
		s.try(&t.best[i].n)
	}
	if len(t.best) == 0 {
		return
	}
	for better := true; better; {
		better = false
		from, was := s.best, s.f
		for i := range s.k {
			for j := range s.k {
				for _, d := range [...]int{1, 2} {
					n := from
					n[i] += d
					n[j] -= d
					if i != j && n[i] <= s.hi[i] && n[j] >= s.lo[j] {
						s.try(&n)
					}
				}
			}
		}
		better = s.f < was
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
