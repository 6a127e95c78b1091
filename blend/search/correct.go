package search

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// Correcting is a batch to bring back to its shade by additions alone.
type Correcting struct {
	// Request is the shade aimed at: skin, targets, base, application, and the
	// drawer that further powders may come from, under its choices (but for the
	// load, which is what it comes to, at most MaxLoad).
	Request Request
	Made    Made
	Seen    []Sighting // of this batch, the last as it stands now

	DeltaE      float64 // to come within; 0 means as near as MaxGrowth lets
	MaxGrowth   float64 // share of the batch that may be added, 1 being as much again; 0 means UsualGrowth
	NewPowders  int     // how many powders the batch has none of may be added; 0 means none
	NoBase      bool    // powders only
	BalanceStep float64 // g, the balance's readability; 0 does not round
}

// UsualGrowth is how much of itself a batch may grow by unless told: half.
const UsualGrowth = 0.5

// Correction is what to add to a batch, and what it is then expected to be.
type Correction struct {
	Additions  []Addition // powders, the batch's own first
	BaseGrams  float64    // g of base, water included
	WaterGrams float64    // g of that which is only water lost to be made good
	Growth     float64    // share of the batch added
	AfterGrams float64    // g of product then

	Now      colour.Missing // what the batch lacks of the target as it stands, worn
	NowLab   colour.Lab     // its colour as worn, by the readings
	Blend    Blend          // after the additions, powders in % w/w, with what the readings taught
	Learnt   []film.Part    // the blend's parts with powders as strong as the readings have them, to predict its look by
	DeltaE00 float64        // then, from the first target
	Reached  bool           // within the DeltaE asked for (always true where none was)

	Strengths   []Strength // of the batch's powders, as the readings have them
	Offset      colour.Lab // what strengths do not explain of the last reading, carried along where it was read as worn
	Unexplained float64    // ΔE00 of it
	ByEye       bool       // the last reading was picked from a ladder
}

// correcting is one such search.
type correcting struct {
	Correcting
	ctx    context.Context
	own    []*palette.Pigment // the batch's, as strong as they turned out
	real   []*palette.Pigment // the same as listed
	grams  []float64          // left of each
	batch  float64            // g left
	offset colour.Lab
}

// Correct finds the additions that bring a batch to the target: those that grow
// it least for the ΔE00 asked for, or the nearest for the growth allowed. The
// readings first teach how strong the powders in it really are (see Sighting);
// what strengths do not explain of a colour read as worn is carried along as an
// offset.
func Correct(ctx context.Context, q Correcting) (*Correction, error) {
	r, err := q.Request.defaulted()
	if err != nil {
		return nil, err
	}
	q.Request = r
	if q.MaxGrowth == 0 {
		q.MaxGrowth = UsualGrowth
	}
	switch {
	case !(q.DeltaE >= 0 && q.DeltaE <= 100):
		return nil, fmt.Errorf("to within ΔE00 %g; 0 or more is accepted", q.DeltaE)
	case !(q.MaxGrowth > 0 && q.MaxGrowth <= 100):
		return nil, fmt.Errorf("a batch growing by %g of itself; more than 0 and at most 100 is accepted", q.MaxGrowth)
	case q.NewPowders < 0 || q.NewPowders > 2:
		return nil, fmt.Errorf("%d new powders; 0 to 2 are accepted", q.NewPowders)
	case !(q.BalanceStep >= 0 && q.BalanceStep < 1e6):
		return nil, fmt.Errorf("a balance of %g g steps; more than 0, or 0 for no rounding, is accepted", q.BalanceStep)
	case len(q.Seen) == 0:
		return nil, errors.New("nothing was read of the batch; a reading, or a pick from the ladder, is needed")
	case len(q.Made.Powders) > maxParts-q.NewPowders:
		return nil, fmt.Errorf("%d powders in the batch; at most %d can be corrected", len(q.Made.Powders), maxParts-q.NewPowders)
	}
	if err := q.Made.Check(); err != nil {
		return nil, err
	}
	c := &correcting{Correcting: q, ctx: ctx, batch: q.Made.Grams()}
	out := &Correction{ByEye: q.Seen[len(q.Seen)-1].ByEye}
	if err := c.learn(out); err != nil {
		return nil, err
	}
	if err := c.search(out); err != nil {
		return nil, err
	}
	return out, nil
}

// learn turns the readings into strengths and an offset.
func (c *correcting) learn(out *Correction) error {
	for _, p := range c.Made.Powders {
		c.real = append(c.real, p.Pigment)
		c.grams = append(c.grams, p.Grams*c.Made.left())
	}
	s, err := newSightings(&c.Request, c.real, c.Seen)
	if err != nil {
		return err
	}
	factors, err := s.learn()
	if err != nil {
		return err
	}
	last := len(s.sights) - 1
	at, err := s.sights[last].lab(factors)
	if err != nil {
		return err
	}
	rest := difference(s.lab[last], at)
	out.Unexplained = colour.DeltaE00(s.lab[last], at)
	out.Offset = colour.Lab{L: rest[0], A: rest[1], B: rest[2]}
	if s.sights[last].asWorn(&c.Request) {
		c.offset = out.Offset
	}
	for i, g := range c.real {
		out.Strengths = append(out.Strengths, Strength{g, factors[i]})
		c.own = append(c.own, stronger(g, factors[i]))
	}
	return nil
}

// stronger returns a powder of the same name whose optics are by factor those
// of g.
func stronger(g *palette.Pigment, factor float64) *palette.Pigment {
	s := *g
	o := &s.Optics
	for j := range o.K {
		o.K[j] *= factor
		o.S[j] *= factor
		for d := range o.SAt {
			o.SAt[d][j] *= factor
		}
	}
	o.FaceArea *= factor
	return &s
}

// answer is the best mixture at one growth.
type answer struct {
	growth float64
	f      float64
	delta  float64
	use    []*palette.Pigment // the powders of the mixture
	grams  []float64          // of each, in all
	base   float64            // g of base added
}

// search finds the growth and the additions.
func (c *correcting) search(out *Correction) error {
	none, err := c.at(0)
	if err != nil {
		return err
	}
	best := none
	if c.DeltaE == 0 || none.delta > c.DeltaE {
		most, err := c.at(c.MaxGrowth)
		if err != nil {
			return err
		}
		best = most
		if c.DeltaE > 0 && most.delta <= c.DeltaE {
			// What growth allows, more growth allows too.
			low, high := 0.0, c.MaxGrowth
			for high-low > 1e-4*(1+high) {
				middle := (low + high) / 2
				a, err := c.at(middle)
				if err != nil {
					return err
				}
				if a.delta <= c.DeltaE {
					high, best = middle, a
				} else {
					low = middle
				}
			}
		} else if best, err = c.leastFor(most); err != nil {
			return err
		}
	}
	if c.BalanceStep > 0 {
		if best, err = c.rounded(best); err != nil {
			return err
		}
	}
	return c.report(out, none, best)
}

// leastFor returns the least growth that does as well as a, to a hundredth of
// a ΔE00: base that changes nothing is not worth adding.
func (c *correcting) leastFor(a answer) (answer, error) {
	low, high, best := 0.0, a.growth, a
	for high-low > 1e-3*(1+high) {
		middle := (low + high) / 2
		b, err := c.at(middle)
		if err != nil {
			return a, err
		}
		if b.delta <= a.delta+0.01 {
			high, best = middle, b
		} else {
			low = middle
		}
	}
	return best, nil
}

// at returns the best mixture when the batch may grow by a share of itself.
func (c *correcting) at(growth float64) (answer, error) {
	if err := c.ctx.Err(); err != nil {
		return answer{}, err
	}
	p, use, err := c.problem(growth)
	if err != nil {
		return answer{}, err
	}
	s := &search{p: p, most: len(c.own) + c.NewPowders, workers: c.Request.Workers}
	for i := range use {
		if i < len(c.own) {
			s.must = append(s.must, i)
		} else {
			s.choice = append(s.choice, i)
		}
	}
	if err := s.run(c.ctx, nil); err != nil {
		return answer{}, err
	}
	if len(s.found) == 0 {
		return answer{}, errors.New("no addition keeps to the load and the limits")
	}
	order := s.bestInexact(20, maxParts)
	for _, id := range order {
		work := newSolver(p)
		s.again(work, &s.found[id])
	}
	best := &s.found[0]
	for i := range s.found {
		if m := &s.found[i]; m.f < best.f-1e-12 || m.f < best.f+1e-12 && m.n < best.n {
			best = m
		}
	}
	after := c.batch * (1 + growth)
	a := answer{growth: growth, f: best.f, delta: c.delta(best.f)}
	powders := 0.0
	for i := range best.n {
		k := int(best.index[i])
		g := best.x[i] * c.Request.LoadHi / 100 * after
		if k < len(c.own) {
			g = math.Max(g, c.grams[k])
		}
		a.use, a.grams = append(a.use, use[k]), append(a.grams, g)
		powders += g
		if k < len(c.own) {
			powders -= c.grams[k]
		}
	}
	a.base = math.Max(0, after-c.batch-powders)
	return a, nil
}

// delta is the difference f stands for, as Match ranks by.
func (c *correcting) delta(f float64) float64 {
	weight := 0.0
	for _, g := range c.Request.Targets {
		if g.Weight == 0 {
			g.Weight = 1
		}
		weight += g.Weight
	}
	return math.Sqrt(f / weight)
}

// problem puts a growth into numbers: no powder below what is in the batch
// already, and no more in all than the growth.
func (c *correcting) problem(growth float64) (*problem, []*palette.Pigment, error) {
	r := c.Request
	use := slices.Clone(c.own)
	if c.NewPowders > 0 {
		q := r
		// The drawer's own choices say what else may go in; what is in the batch
		// is there already.
		q.Choice.Must, q.Choice.CostPer100 = nil, 0
		q.Choice.Limits = nil
		q.Most = MostPowders
		if more, _, err := q.selectPowders(); err == nil {
			for _, g := range more {
				if !slices.ContainsFunc(c.real, func(h *palette.Pigment) bool { return h.Name == g.Name }) {
					use = append(use, g)
				}
			}
		}
	}
	free := r
	free.Choice = Choice{}
	p, err := free.problem(use, make([]bool, len(use)))
	if err != nil {
		return nil, nil, err
	}
	after := c.batch * (1 + growth)
	share := 100 / after / r.LoadHi // for a gram
	have, base := 0.0, c.batch
	for i := range p.powders {
		u := &p.powders[i]
		u.lo, u.must = 0, i < len(c.own)
		added := growth * c.batch // g that may be added
		if c.Request.Choice.InStock > 0 {
			stock := use[i].StockG
			added = math.Min(added, stock)
		}
		if u.must {
			u.lo = c.grams[i] * share
			have += c.grams[i]
			base -= c.grams[i]
		}
		u.hi = u.lo + added*share
		for name, l := range r.Choice.Limits {
			if l.AtMost > 0 && sameName(name, use[i].Name) {
				// What is in cannot be taken out.
				u.hi = math.Max(u.lo, math.Min(u.hi, l.AtMost/r.LoadHi))
			}
		}
	}
	p.sumLo, p.sumHi = have*share, (have+growth*c.batch)*share
	if c.NoBase {
		p.sumLo = p.sumHi
	}
	if top := film.MaxLoad / r.LoadHi; p.sumHi > top {
		if p.sumLo > top && !c.NoBase {
			p.sumHi = p.sumLo
		} else {
			p.sumHi = math.Max(top, p.sumLo)
		}
	}
	for i := range p.powders {
		p.powders[i].hi = math.Min(p.powders[i].hi, p.sumHi)
	}
	c.offsets(p)
	return p, use, nil
}

// rounded brings the additions to whole steps of the balance: of every way to
// round each up or down, the one that grows the batch least within the ΔE00
// asked for, or else the nearest.
func (c *correcting) rounded(a answer) (answer, error) {
	r := c.Request
	r.Choice = Choice{}
	p, err := r.problem(a.use, make([]bool, len(a.use)))
	if err != nil {
		return a, err
	}
	c.offsets(p)
	e := newEvaluator(p)
	n := len(a.use)
	var index [maxParts]int
	had := make([]float64, n)
	low := make([]float64, n+1) // whole steps below each addition, the base last
	for i, g := range a.use {
		index[i] = i
		if k := slices.Index(c.own, g); k >= 0 {
			had[i] = c.grams[k]
		}
		low[i] = math.Floor((a.grams[i]-had[i])/c.BalanceStep + 1e-9)
	}
	low[n] = math.Floor(a.base/c.BalanceStep + 1e-9)
	e.choose(index[:n])
	best := answer{f: math.Inf(1)}
	for way := range 1 << (n + 1) {
		b := answer{use: a.use, grams: slices.Clone(had)}
		steps := func(i int) float64 { return (low[i] + float64(way>>i&1)) * c.BalanceStep }
		added := 0.0
		for i := range n {
			b.grams[i] += steps(i)
			added += steps(i)
		}
		if b.base = steps(n); b.base > 0 && c.NoBase {
			continue
		}
		added += b.base
		b.growth = added / c.batch
		var x [maxParts]float64
		for i := range n {
			x[i] = b.grams[i] * 100 / (c.batch + added) / r.LoadHi
		}
		b.f = e.value(&x)
		b.delta = c.delta(b.f)
		in, was := c.DeltaE > 0 && b.delta <= c.DeltaE, c.DeltaE > 0 && best.delta <= c.DeltaE && best.use != nil
		switch {
		case in && !was, in && was && b.growth < best.growth-1e-12, !in && !was && b.f < best.f:
			best = b
		}
	}
	return best, nil
}

// offsets puts what the last reading showed the model to miss into a problem.
func (c *correcting) offsets(p *problem) {
	for i := range p.views {
		if v := &p.views[i]; v.channel == 0 && v.viewing == c.Request.Light {
			v.offset = c.offset
		}
	}
}

// report fills in the correction.
func (c *correcting) report(out *Correction, none, best answer) error {
	out.Growth = best.growth
	out.AfterGrams = c.batch * (1 + best.growth)
	out.BaseGrams = best.base
	out.WaterGrams = math.Min(best.base, c.Made.EvaporatedG*c.Made.left())
	var after, before []film.Part
	for i, g := range best.use {
		had, k := 0.0, slices.Index(c.own, g)
		listed := g
		if k >= 0 {
			had, listed = c.grams[k], c.real[k]
		}
		if added := best.grams[i] - had; added > 1e-9*c.batch {
			out.Additions = append(out.Additions, Addition{listed, added, k < 0})
		}
		if best.grams[i] > 0 {
			after = append(after, film.Part{Pigment: g, Percent: 100 * best.grams[i] / out.AfterGrams})
		}
	}
	for k, g := range c.own {
		before = append(before, film.Part{Pigment: g, Percent: 100 * c.grams[k] / c.batch})
	}
	target := c.Request.Targets[0].Lab
	g, err := gaugeOf(c.Request, before)
	if err != nil {
		return err
	}
	at := percents(before)
	out.NowLab = plus(g.lab(&at), c.offset)
	out.Now = colour.MissingOf(out.NowLab, target)
	if g, err = gaugeOf(c.Request, after); err != nil {
		return err
	}
	if out.Blend, err = g.blendOf(after); err != nil {
		return err
	}
	out.Learnt = slices.Clone(out.Blend.Parts)
	// The blend is told with the powders as listed and the look as learnt.
	for i := range out.Blend.Parts {
		if k := slices.Index(c.own, out.Blend.Parts[i].Pigment); k >= 0 {
			out.Blend.Parts[i].Pigment = c.real[k]
		}
	}
	out.Blend.Lab = plus(out.Blend.Lab, c.offset)
	out.Blend.DeltaE00 = colour.DeltaE00(out.Blend.Lab, target)
	out.Blend.Objective = best.f
	out.DeltaE00 = out.Blend.DeltaE00
	out.Reached = c.DeltaE == 0 || best.delta <= c.DeltaE+0.02
	return nil
}

func plus(a, b colour.Lab) colour.Lab { return colour.Lab{L: a.L + b.L, A: a.A + b.A, B: a.B + b.B} }
