package mend

import (
	"context"
	"math"
	"slices"
	"sort"

	"tawny/blend/film"
)

// Bounds of a small mending, conventions of this tool.
const (
	SmallGrowth   = 0.15 // share of the batch
	SmallMoreLoad = 1.0  // points of load over the recipe's
	leastSteps    = 5    // of the balance: less cannot be weighed
	leastGain     = 0.25 // share of how far off it is that an addition must mend
	mostOptions   = 3
)

// Small returns at most three small ways of mending a batch, smallest first: a
// bit of one powder it has, a bit of base, a small remake. None is over the load
// allowed, asks for more of a powder than is in stock where that is known, or
// cannot be weighed; each mends a quarter of what is wrong at least, and as
// much again more than the smaller ones. now is the batch as it stands.
func Small(ctx context.Context, q Request) (list []*Correction, now *Correction, err error) {
	if q.MaxGrowth == 0 {
		q.MaxGrowth = SmallGrowth
	}
	c, err := q.begin(ctx)
	if err != nil {
		return nil, nil, err
	}
	learnt := &Correction{ByEye: q.Readings[len(q.Readings)-1].ByEye}
	if err := c.learn(learnt); err != nil {
		return nil, nil, err
	}
	load := 0.0
	for _, g := range c.grams {
		load += 100 * g / c.left
	}
	c.MaxLoad = math.Min(c.mostLoad(), load+SmallMoreLoad)
	none, err := c.at(0)
	if err != nil {
		return nil, nil, err
	}
	now = &Correction{}
	*now = *learnt
	if err := c.report(now, none, none); err != nil {
		return nil, nil, err
	}
	var found []answer
	for i := range len(c.own) + 1 { // the base last
		a, err := c.bit(i)
		if err != nil {
			return nil, nil, err
		}
		found = append(found, a)
	}
	remake, err := c.at(c.MaxGrowth)
	if err != nil {
		return nil, nil, err
	}
	if remake, err = c.least(remake, remake.delta+unseen, 1e-3); err == nil {
		remake, err = c.weighable(remake)
	}
	if err != nil {
		return nil, nil, err
	}
	found = append(found, remake)
	sort.SliceStable(found, func(i, j int) bool {
		a, b := found[i], found[j]
		return a.growth < b.growth-1e-9 || a.growth < b.growth+1e-9 && a.delta < b.delta
	})
	best, least := none.delta, leastGain*none.delta
	for _, a := range found {
		if a.growth == 0 || a.delta > best-least || len(list) == mostOptions {
			continue
		}
		best = a.delta
		one := *learnt
		if err := c.report(&one, none, a); err != nil {
			return nil, nil, err
		}
		list = append(list, &one)
	}
	return list, now, nil
}

// mostLoad is the most load a mended batch may have, % w/w.
func (c *correcting) mostLoad() float64 {
	if c.MaxLoad == 0 {
		return film.MaxLoad
	}
	return c.MaxLoad
}

// step is the balance's, or a hundred-thousandth of the batch without one, g.
func (c *correcting) step() float64 {
	if c.BalanceStep > 0 {
		return c.BalanceStep
	}
	return 1e-5 * c.left
}

// bit is the best addition of one of the batch's own powders, or of base where
// i is past them: none where it cannot be weighed or helps nothing.
func (c *correcting) bit(i int) (answer, error) {
	most := c.MaxGrowth * c.left
	if i == len(c.own) && c.NoBase {
		most = 0
	}
	powders := 0.0
	for _, g := range c.grams {
		powders += g
	}
	if i < len(c.own) {
		share := c.mostLoad() / 100
		most = math.Min(most, (share*c.left-powders)/(1-share))
		if stock := c.listed[i].StockG; stock > 0 {
			most = math.Min(most, stock)
		}
	}
	m, err := c.mixture(c.own)
	if err != nil {
		return answer{}, err
	}
	percent := make([]float64, len(c.own))
	try := func(grams float64) answer {
		a := answer{growth: grams / c.left, use: c.own, grams: slices.Clone(c.grams)}
		if i < len(c.own) {
			a.grams[i] += grams
		} else {
			a.base = grams
		}
		for k, g := range a.grams {
			percent[k] = 100 * g / (c.left + grams)
		}
		a.f = m.Objective(percent)
		a.delta = c.Shade.Distance(a.f)
		return a
	}
	best := try(0)
	const tries = 60
	for k := 1; k <= tries; k++ {
		steps := math.Floor(most * float64(k) / tries / c.step())
		if steps < leastSteps {
			continue
		}
		// Later ones must be worth being larger.
		if a := try(steps * c.step()); a.delta < best.delta-0.01 {
			best = a
		}
	}
	return best, c.ctx.Err()
}

// weighable brings an answer to steps of the balance and leaves out what cannot
// be weighed.
func (c *correcting) weighable(a answer) (answer, error) {
	if c.BalanceStep > 0 {
		var err error
		if a, err = c.rounded(a); err != nil {
			return a, err
		}
	}
	least := leastSteps * c.step()
	added, powders := 0.0, 0.0
	a.grams = slices.Clone(a.grams)
	for i, g := range a.use {
		had := c.had(g)
		if more := a.grams[i] - had; more < least-1e-9 {
			a.grams[i] = had
		}
		if stock := g.StockG; stock > 0 && a.grams[i]-had > stock {
			a.grams[i] = had + stock
		}
		added += a.grams[i] - had
		powders += a.grams[i]
	}
	if a.base < least {
		a.base = 0
	}
	added += a.base
	a.growth = added / c.left
	if 100*powders/(c.left+added) > c.mostLoad()+1e-9 {
		return c.at(0)
	}
	m, err := c.mixture(a.use)
	if err != nil {
		return a, err
	}
	percent := make([]float64, len(a.use))
	for i, g := range a.grams {
		percent[i] = 100 * g / (c.left + added)
	}
	a.f = m.Objective(percent)
	a.delta = c.Shade.Distance(a.f)
	return a, nil
}
