package search

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"
	"sort"
	"strings"

	"tawny/blend/doubt"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// ranker orders what the search found.
//
// Blends nearer the target than Equal count as equally good, and of a shimmer all
// that were settled and are no more than Equal farther than the nearest: these are
// told apart first by how far off they are thought to be seen, the root of the
// square of their distance and the mean square of how far they move with what is
// doubted of tilts, strengths and coats. Then equals are told apart by fewer powders, smaller shift between lights, lower cost, glints,
// less powder and name, each compared in the digits a screen shows: a shift
// that differs by a thousandth should not outweigh the cost. The others follow
// by distance, then the same.
type ranker struct {
	request *Request
	problem *problem
	use     []*palette.Pigment
	search  *search
	glints  []float64 // of each powder at a share of 1, per cm²
	without float64   // ΔE00 of the best by the rules set aside
	yields  bool      // not all of the wish can be had
	moving  *unsteady // of a shimmer, how far its blends move
	asked   bool      // some blend gleams in the colour of the family asked for
}

// best is the nearest mixture that was settled.
func (k *ranker) best() (best *found) {
	list := k.search.found
	for i := range list {
		if m := &list[i]; m.settled && (best == nil || m.f < best.f) {
			best = m
		}
	}
	return best
}

// nearest is the ΔE00 to which the search came.
func (k *ranker) nearest() float64 { return k.request.Distance(k.best().f) }

// candidate is a found mixture with what tells equals apart.
type candidate struct {
	id     int
	count  int     // powders really in it
	other  int     // 1 where a family was asked for, no shimmer, and most of its flakes are of another
	delta  float64 // ΔE00 to the target; the weighted root mean square of several
	seen   float64 // of a shimmer, how far off it is thought to be seen, in steps
	shift  float64 // the rest in steps of what is shown
	cost   float64
	glints float64
	amount float64
	key    [MostParts]uint16 // its powders, ascending, counted from 1
	look   *Look             // once looked at
}

// presentShare is the share below which a powder counts as absent: a millionth
// of the load cannot be weighed.
const presentShare = 1e-6

var errBare = errors.New("bare skin is nearer the target than any blend; ask for an exact load, or a target further from the skin")

// The digits that equals are compared in.
const (
	seenStep   = 0.1  // ΔE00
	shiftStep  = 0.01 // ΔE00
	costStep   = 0.01 // currency for 100 g
	amountStep = 1e-6 // of the largest load
	deltaStep  = 0.01 // ΔE00, for the front
)

// rank returns the Keep best blends and the front: the nearest blend of each
// number of powders, as long as one more powder comes visibly nearer.
func (k *ranker) rank(ctx context.Context) (blends, front []Blend, err error) {
	r := k.request
	list := k.candidates()
	if len(list) == 0 {
		return nil, nil, errBare
	}
	shimmer, within := r.Shimmer != nil, r.Equal
	if shimmer {
		within += nearestOf(list)
	}
	equal := 0 // the first so many are within Equal
	for i := range list {
		if list[i].delta <= within && (!shimmer || k.search.found[list[i].id].settled) {
			list[i], list[equal] = list[equal], list[i]
			equal++
		}
	}
	near, far := list[:equal], list[equal:]
	if shimmer {
		if k.moving, err = k.unsteady(near); err != nil {
			return nil, nil, err
		}
	}
	k.search.parallel(ctx, (len(near)+63)/64, func(work *solver, i int) {
		for j := 64 * i; j < min(64*i+64, len(near)); j++ {
			k.measure(work, &near[j])
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	slices.SortFunc(near, func(a, b candidate) int { return a.compareEqual(&b) })
	slices.SortFunc(far, func(a, b candidate) int { return a.compareDelta(&b) })
	work := newSolver(k.problem)
	if blends, err = k.list(ctx, work, slices.Concat(near, far)); err != nil {
		return nil, nil, err
	}
	best := [MostParts + 1]*candidate{}
	for i := range list {
		c := &list[i]
		if b := best[c.count]; b == nil || steps(c.delta, deltaStep) < steps(b.delta, deltaStep) {
			best[c.count] = c
		}
	}
	last := math.Inf(1)
	for _, c := range best {
		if c != nil && steps(c.delta, deltaStep) < last {
			last = steps(c.delta, deltaStep)
			front = append(front, k.blend(work, c))
		}
	}
	return blends, front, nil
}

// candidates returns the found mixtures by the powders really in them, the
// best of each. No powder at all is no blend.
func (k *ranker) candidates() []candidate {
	s := k.search
	list := make([]candidate, 0, len(s.found))
	// A subset is solved once, so only mixtures with a powder at nothing and
	// those from widening can meet another of the same powders.
	twice := map[[MostParts]uint16]int{}
	for pass := range 2 {
		for id := range s.found {
			m := &s.found[id]
			c := candidate{id: id, delta: k.request.Distance(m.f)}
			for i := range m.n {
				if m.x[i] > presentShare {
					c.key[c.count] = m.index[i] + 1
					c.count++
				}
			}
			if odd := c.count < m.n || m.extra; odd != (pass == 0) || c.count == 0 {
				continue
			}
			slices.Sort(c.key[:c.count])
			at, met := twice[c.key]
			switch {
			case met && s.found[list[at].id].f <= m.f:
			case met:
				list[at] = c
			default:
				if pass == 0 {
					twice[c.key] = len(list)
				}
				list = append(list, c)
			}
		}
	}
	return list
}

// measure fills in what tells equals apart.
func (k *ranker) measure(work *solver, c *candidate) {
	p, m := k.problem, &k.search.found[c.id]
	if k.isFamily(c) {
		k.leastShift(work.eval, m)
	}
	e := work.eval
	e.choose(m.subset(&[MostParts]int{}))
	e.film(&m.x, false)
	if k.moving != nil {
		c.seen = steps(math.Sqrt(c.delta*c.delta+k.moving.moves(m)), seenStep)
	}
	c.shift = steps(colour.Shift(&e.r[0], k.request.Light, k.request.Second), shiftStep)
	for i := range m.n {
		u := &p.powders[m.index[i]]
		c.cost += m.x[i] * u.cost
		c.glints += m.x[i] * k.glints[m.index[i]]
		c.amount += m.x[i]
	}
	if f := k.request.Family; f != "" && k.moving == nil && !strings.EqualFold(k.leading(m).family, f) {
		c.other = 1
	}
	c.cost, c.amount = steps(c.cost, costStep), steps(c.amount, amountStep)
	c.glints = steps(math.Log(1+c.glints), 0.1) // to about a tenth of the number
}

// steps rounds to whole steps.
func steps(x, step float64) float64 { return math.Round(x / step) }

// compareEqual orders blends that count as equally near.
func (c *candidate) compareEqual(d *candidate) int {
	glints := cmp.Compare(d.glints, c.glints) // more first: shimmer is what it is for
	return cmp.Or(cmp.Compare(c.other, d.other), cmp.Compare(c.seen, d.seen), cmp.Compare(c.count, d.count), cmp.Compare(c.shift, d.shift), cmp.Compare(c.cost, d.cost),
		glints, cmp.Compare(c.amount, d.amount), slices.Compare(c.key[:], d.key[:]))
}

// compareDelta orders blends by how near they are.
func (c *candidate) compareDelta(d *candidate) int {
	return cmp.Or(cmp.Compare(c.delta, d.delta), cmp.Compare(c.count, d.count), slices.Compare(c.key[:], d.key[:]))
}

// blend fills in a candidate, walked on to the last digit over the powders
// really in it, its shares brought to the exact load.
func (k *ranker) blend(work *solver, c *candidate) Blend {
	m, o := k.polish(work, c.id)
	e := work.eval
	e.wishing = o.wishing
	e.all(&m.x)
	b := Blend{Parts: k.parts(&m), Residual: e.residual(&m)}
	e.wishing = false
	b.Objective = e.value(&m.x)
	b.Reflectance = e.r[0]
	if k.problem.wish != nil {
		b.Look = k.look(e, &m)
	}
	b.Because = k.because(&b)
	r := k.request
	b.LoadPercent = film.LoadOf(b.Parts)
	for _, part := range b.Parts {
		b.CostPer100 += part.Percent * part.Pigment.PricePerG
	}
	b.Lab, b.SecondLab = r.Light.Lab(&b.Reflectance), r.Second.Lab(&b.Reflectance)
	b.Shift = colour.Shift(&b.Reflectance, r.Light, r.Second)
	b.DeltaE00 = colour.DeltaE00(b.Lab, r.Targets[0].Lab)
	return b
}

// polish walks a mixture found on to the last digit, and how that ended.
func (k *ranker) polish(work *solver, id int) (found, outcome) {
	p := k.problem
	m := present(p, &k.search.found[id])
	if p.sumLo == p.sumHi {
		p.exactLoad(&m)
	}
	o := work.solve(m.subset(&[MostParts]int{}), &m.x, polished, m.wishing)
	m.x = o.x
	if p.sumLo == p.sumHi {
		p.exactLoad(&m)
	}
	return m, o
}

// parts are a mixture's, the largest first.
func (k *ranker) parts(m *found) (list []film.Part) {
	for i := range m.n {
		if m.x[i] != 0 {
			list = append(list, film.Part{Pigment: k.use[m.index[i]], Percent: m.x[i] * k.request.LoadHi})
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].Percent > list[j].Percent })
	return list
}

// present returns m without the powders at nothing.
func present(p *problem, m *found) found {
	out := *m
	out.n = 0
	out.x = [MostParts]float64{}
	for i := range m.n {
		if m.x[i] > presentShare || p.powders[m.index[i]].lo > 0 {
			out.index[out.n], out.x[out.n] = m.index[i], m.x[i]
			out.n++
		}
	}
	return out
}

// exactLoad gives what rounding has left of the load to the powder with most
// room for it.
func (p *problem) exactLoad(m *found) {
	rest := p.sumHi
	for i := range m.n {
		rest -= m.x[i]
	}
	best, most := 0, math.Inf(-1)
	for i := range m.n {
		u := &p.powders[m.index[i]]
		room := u.hi - m.x[i]
		if rest < 0 {
			room = m.x[i] - u.lo
		}
		if room > most {
			best, most = i, room
		}
	}
	m.x[best] += rest
}

// residual returns the largest failure of the KKT conditions at m over its own
// powders: with the best multipliers of load and cost, the gradient of a share
// inside its bounds must be 0, at its lower bound not negative, at its upper
// bound not positive.
func (e *evaluator) residual(m *found) float64 {
	s := &solver{eval: e}
	s.bounds(&m.x)
	s.step.G = e.g
	// A unit Hessian makes the step the projected gradient: zero at a KKT
	// point, and as long as the failure is large.
	for i := range e.n {
		s.step.H[i][i] = 1
	}
	s.step.Solve(&s.d)
	worst := 0.0
	for i := range e.n {
		worst = math.Max(worst, math.Abs(s.d[i]))
	}
	return worst
}

// equalByWeighing widens Equal to what weighing the nearest blend costs, 95
// times of 100.
func (k *ranker) equalByWeighing() error {
	list := k.candidates()
	if len(list) == 0 {
		return nil // rank says so
	}
	best := &list[0]
	for i := range list {
		if list[i].compareDelta(best) < 0 {
			best = &list[i]
		}
	}
	r, b := k.request, k.blend(newSolver(k.problem), best)
	u, err := doubt.Uncertainty(film.Worn{
		Ground: r.Ground, Geometry: r.Geometry, Parts: b.Parts, Apply: r.Apply, Tilt: r.Tilt, SurfaceShare: r.SurfaceShare, Base: r.Base, Light: r.Light,
	}, doubt.Doubts{Weigh: doubt.Weighing(r.BalanceStep, r.BatchGrams)})
	if err == nil {
		r.Equal = math.Max(r.Equal, u.DeltaE95)
	}
	return err
}
