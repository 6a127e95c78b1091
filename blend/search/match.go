package search

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/parallel"
)

// Result is what a match found.
type Result struct {
	Request Request // with its defaults taken
	Blends  []Blend // best first
	Counts  Counts
	// Front holds the best blend of each number of powders.
	Front []Blend
}

// Blend is powders in stated amounts and what they look like on the skin.
type Blend struct {
	Look Look // only where a shimmer or looks were asked for
	// Because says which rule the blend sets aside, and what keeping it would
	// cost; Small lists the powders under LeastSteps of the balance.
	Because string
	Small   []*palette.Pigment
	Twins   int     // how many blends that look alike are folded under it
	Alike   []Blend // some of them, where asked for

	Parts       []film.Part
	LoadPercent float64         // % w/w, the sum of the parts
	Reflectance colour.Spectrum // of skin with the film, read as the ground was
	Lab         colour.Lab      // under the request's light
	DeltaE00    float64         // to the first target
	SecondLab   colour.Lab      // under the second light
	Shift       float64         // ΔE00 between the two lights
	CostPer100  float64         // powders of 100 g of product
	Objective   float64         // Σ weight·ΔE00² (and the band part) that was minimised
	// Residual is the largest failure of the first-order (KKT) conditions, in
	// f for each unit of share; 0 for a perfect optimum.
	Residual float64
}

// Match finds the blends of at most Most powders that come nearest the target
// at the load, best first. Every subset of the drawer is settled (see search).
// The sum of the parts is the load exactly, to 1e-12, where LoadLo = LoadHi.
func Match(ctx context.Context, r Request) (*Result, error) {
	k, err := explore(ctx, r)
	if err != nil {
		return nil, err
	}
	res := &Result{Counts: k.search.counts}
	if res.Blends, res.Front, err = k.rank(ctx); err != nil {
		return nil, err
	}
	res.Request = *k.request
	res.Request.Memory = r.Memory // what is its own goes with it
	return res, nil
}

// explore settles every subset of the drawer and returns what it found, ready
// to be ranked, with the request's defaults taken.
func explore(ctx context.Context, r Request) (*ranker, error) {
	auto := r.Equal == 0
	r, err := r.WithDefaults()
	if err != nil {
		return nil, err
	}
	k, err := r.settleRuled(ctx)
	if err != nil {
		return nil, err
	}
	if auto && r.BatchGrams > 0 && r.BalanceStep > 0 {
		if err := k.equalByWeighing(); err != nil {
			return nil, err
		}
	}
	return k, nil
}

// settleWhole settles every subset by some rules and starts the best again; where
// no blend has all that is wanted of a shimmer, by the nearest gleam and grain to
// be had.
func (r *Request) settleWhole(ctx context.Context, q rules, progress func(done float64)) (*ranker, error) {
	k, err := r.settle(ctx, q, nil, progress)
	for range 2 {
		if err == nil {
			err = k.search.restart(ctx)
		}
		if err != nil || r.Shimmer == nil {
			break
		}
		near, missing := k.reached()
		if !missing {
			break
		}
		if k, err = r.settle(ctx, q, &near, nil); err == nil {
			k.yields = true
		}
	}
	return k, err
}

// settle settles every subset of a request that has its defaults.
func (r *Request) settle(ctx context.Context, q rules, near *within, progress func(done float64)) (*ranker, error) {
	k, err := r.pose(q)
	if err != nil {
		return nil, err
	}
	k.problem.wish.reach(near)
	return k, k.run(ctx, progress)
}

// run searches, and settles what is found.
func (k *ranker) run(ctx context.Context, progress func(done float64)) error {
	if err := k.search.run(ctx, progress); err != nil {
		return err
	}
	k.search.settle(ctx)
	if err := ctx.Err(); err != nil {
		return err
	}
	if len(k.search.found) == 0 {
		return k.request.noBlend()
	}
	r, scene := k.request, k.problem.film.film.GlintScene()
	for _, g := range k.use {
		k.glints = append(k.glints, scene.PerMass(g)*r.Apply*r.LoadHi/100)
	}
	return nil
}

func (r *Request) noBlend() error {
	return fmt.Errorf("no blend of at most %d powders fits the load %s and the limits on powders, stock and cost", r.Most, r.loadWords())
}

// pose puts a request that has its defaults into a search by some rules.
func (r *Request) pose(q rules) (*ranker, error) {
	use, must, err := r.Usable()
	if err != nil {
		return nil, err
	}
	if use, must = q.leave(r, use, must); len(use) == 0 {
		return nil, r.noBlend()
	}
	p, err := r.problem(use, must)
	if err != nil {
		return nil, err
	}
	p.hold()
	q.bind(r, p, use)
	s := &search{p: p, most: r.Most, limits: ofDrawer, every: r.every, worth: math.Inf(1), workers: r.Workers, keep: settleBest, each: settleEach}
	if r.Shimmer == nil && !r.Looks && !r.every && r.BatchGrams == 0 {
		s.keep, s.equal = min(settleBest, r.Keep), r.Equal*math.Sqrt(r.weight())
	}
	for i := range use {
		if must[i] {
			s.must = append(s.must, i)
		} else {
			s.choice = append(s.choice, i)
		}
	}
	return &ranker{request: r, problem: p, use: use, search: s}, nil
}

// nearestAgain is how many of the best mixtures Nearest starts again.
const nearestAgain = 20

// Nearest returns the parts of the blend of the least objective, the fewest
// powders of equals, without ranking what else was found. r has its defaults taken
// (see WithDefaults); beyond what a match may ask for it may have up to eight
// powders in a blend and any load.
func Nearest(ctx context.Context, r Request) ([]film.Part, error) {
	k, err := r.pose(rules{})
	if err != nil {
		return nil, err
	}
	s := k.search
	s.keep, s.each, s.equal = 1, 0, 0
	if err := k.run(ctx, nil); err != nil {
		return nil, err
	}
	work, under := newSolver(k.problem), math.Inf(1)
	for _, id := range s.bestInexact(nearestAgain, MostParts) {
		s.again(work, &s.found[id], under)
		under = min(under, math.Sqrt(s.found[id].f))
	}
	best, at := (*found)(nil), 0
	for i := range s.found {
		if m := &s.found[i]; m.settled && (best == nil || m.f < best.f-1e-12 || m.f < best.f+1e-12 && m.n < best.n) {
			best, at = m, i
		}
	}
	m, _ := k.polish(work, at)
	return k.parts(&m), nil
}

// Subset is the powders of a blend and the ΔE00 to which they come.
type Subset struct {
	Powders  []*palette.Pigment
	Distance float64
}

func nearestOf(list []candidate) float64 {
	nearest := math.Inf(1)
	for i := range list {
		nearest = math.Min(nearest, list[i].delta)
	}
	return nearest
}

// Subsets returns every set of powders that makes a blend of its own within a
// ΔE00 of the target, or within slack of the nearest where none comes so near,
// how near that is, and how the search went. Where a family is asked for they are of
// those that gleam in its colour, as a match has them first.
func Subsets(ctx context.Context, r Request, within, slack float64) (sets []Subset, nearest float64, counts Counts, err error) {
	r.every, r.Looks = true, r.Family != ""
	k, err := explore(ctx, r)
	if err != nil {
		return nil, 0, counts, err
	}
	list := k.candidates()
	nearest = nearestOf(list)
	if r.Family != "" {
		worth := math.Max(within, nearest+RuleWorth)
		list = slices.DeleteFunc(list, func(c candidate) bool { return c.delta > worth })
		if err := k.looks(ctx, list); err != nil {
			return nil, 0, counts, err
		}
		var own []candidate
		for i := range list {
			if list[i].look.Is(r.Family) {
				own = append(own, list[i])
			}
		}
		if len(own) > 0 {
			list, nearest = own, nearestOf(own)
		}
	}
	within = math.Max(within, nearest+slack)
	for i := range list {
		c := &list[i]
		if c.delta > within {
			continue
		}
		one := Subset{Distance: c.delta}
		for _, id := range c.key[:c.count] {
			one.Powders = append(one.Powders, k.use[id-1])
		}
		sets = append(sets, one)
	}
	return sets, nearest, k.search.counts, nil
}

func (r *Request) loadWords() string {
	if r.LoadLo == r.LoadHi {
		return fmt.Sprintf("of %g %%", r.LoadHi)
	}
	return fmt.Sprintf("between %g and %g %%", r.LoadLo, r.LoadHi)
}

// problem puts the request into numbers.
func (r *Request) problem(use []*palette.Pigment, must []bool) (*problem, error) {
	f, err := r.film()
	if err != nil {
		return nil, err
	}
	p := &problem{film: &layer{film: f}, mass: r.Apply * r.LoadHi / 100, apply: r.Apply, sumLo: r.LoadLo / r.LoadHi, sumHi: 1, limitHi: math.Inf(1)}
	p.quick = p.film
	if r.SurfaceShare > 0 {
		flat := *r
		flat.SurfaceShare = 0
		q, err := flat.film()
		if err != nil {
			return nil, err
		}
		p.quick = &layer{film: q}
	}
	if p.under, err = f.Ground(r.Ground.Geometry.Assumed(), &r.Ground.Reflectance); err != nil {
		return nil, fmt.Errorf("bare skin: %w", err)
	}
	for _, on := range p.layers() {
		worn, err := on.film.Reader(r.Geometry)
		if err != nil {
			return nil, err
		}
		on.readers = append(on.readers, worn)
	}
	channel := map[float64]int{0: 0}
	for _, g := range r.Targets {
		if _, err := p.channelAt(g.Aspecular, channel); err != nil {
			return nil, err
		}
	}
	p.goals = len(p.film.readers)
	for _, g := range r.Targets {
		v := view{channel: channel[g.Aspecular], viewing: g.Viewing, target: g.Lab, weight: orOne(g.Weight), offset: g.Offset}
		if v.viewing == nil {
			v.viewing = r.Light
		}
		p.views = append(p.views, v)
	}
	if r.Bands != nil {
		p.band = &bandTarget{r: r.Bands.Reflectance, weight: orOne(r.Bands.Weight)}
	}
	if r.Choice.CostPer100 > 0 {
		p.limitHi = r.Choice.CostPer100
	}
	for i, g := range use {
		u := powder{cost: g.PricePerG * r.LoadHi}
		if r.Choice.CostPer100 > 0 {
			u.limited = u.cost
		}
		u.lo, u.hi = r.limits(g, must[i])
		if u.hi >= p.sumHi {
			u.hi = p.sumHi
		}
		if u.lo > u.hi {
			return nil, fmt.Errorf("powder %q must be at least %g %% but at most %g %% is on hand or in the load", g.Name, u.lo*r.LoadHi, u.hi*r.LoadHi)
		}
		p.powders = append(p.powders, u)
	}
	if r.Shimmer != nil || r.Looks {
		if err := r.wishFor(p, use, channel); err != nil {
			return nil, err
		}
	}
	p.prepare(use, r.Base.Powder(), r.Memory)
	return p, nil
}

// layers lists the films that a search needs, each once.
func (p *problem) layers() []*layer {
	if p.quick == p.film {
		return []*layer{p.film}
	}
	return []*layer{p.film, p.quick}
}

// prepare makes the powders, and a base that is not clear, ready for every
// channel, shared out over the processors.
func (p *problem) prepare(use []*palette.Pigment, base *film.Powder, memory *Memory) {
	for _, on := range p.layers() {
		on.ready = make([][]*film.Prepared, len(on.readers))
		for c := range on.readers {
			on.ready[c] = make([]*film.Prepared, len(use))
		}
		parallel.For(0, len(use), func(i int) {
			optics := &use[i].Optics
			powder := sync.OnceValue(func() *film.Powder { return film.PowderOf(optics) })
			for c, reader := range on.readers {
				on.ready[c][i] = memory.prepared(reader, optics, powder)
			}
		})
		if base == nil {
			continue
		}
		for _, reader := range on.readers {
			on.base = append(on.base, reader.Prepare(base))
		}
	}
}

// film returns the film a request's blends make.
func (r *Request) film() (*film.Film, error) {
	return film.Kept(film.LayOf(r.Base.Index, r.Tilt, r.SurfaceShare))
}
