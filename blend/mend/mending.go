package mend

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/bits"
	"slices"
	"sort"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
)

// Request is a batch to bring back to its shade by additions alone.
type Request struct {
	// Shade is what is aimed at: skin, targets, base, application, and the
	// drawer that further powders may come from, under its choices (but for the
	// load, which is what it comes to, at most film.MaxLoad).
	Shade    search.Request
	Batch    Batch
	Readings []Reading // of this batch, the last as it stands now

	// Shade.Shimmer is what the gleam and grain should be. With KeepGleam the gleam
	// is kept instead between what it is and that of Planned, the recipe, % w/w
	// (nil is what was weighed in). GleamBy is how many times what it is the gleam
	// should be by an eye that was shown it; 0 where none said so.
	KeepGleam bool
	Planned   []film.Part
	GleamBy   float64

	DeltaE      float64 // to come within; 0 means as near as MaxGrowth lets
	MaxGrowth   float64 // share of the batch that may be added, 1 being as much again; 0 means UsualGrowth
	MaxLoad     float64 // % w/w of powders in the mended batch; 0 means MoreLoad over that of the batch, and at most film.MaxLoad
	NewPowders  int     // how many powders the batch has none of may be added; 0 means none
	NoBase      bool    // powders only
	BalanceStep float64 // g, the balance's readability; 0 does not round
}

// Bounds of a mending unless told, conventions of this tool.
const (
	UsualGrowth = 0.15 // share of the batch
	MoreLoad    = 1.0  // points of load over what it has
)

// Mending is what to add to a batch, and what it is then expected to be.
type Mending struct {
	Additions  []Addition // powders, the batch's own first
	BaseGrams  float64    // g of base, water included
	WaterGrams float64    // g of that which is only water lost to be made good
	Growth     float64    // share of the batch added
	AfterGrams float64    // g of product then

	Parts    []film.Part // of the batch then, % w/w, powders as strong as the readings have them
	Lab      colour.Lab  // then, as worn, with what the readings taught
	DeltaE00 float64     // then, from the first target
	Reached  bool        // within the DeltaE asked for (always true where none was)
	Because  string      // why it brings in a green, blue or violet powder; blank for none
}

// State is a batch as it stands, by the readings.
type State struct {
	Lab     colour.Lab     // as worn
	Missing colour.Missing // of the first target
	Look    search.Look
	Planned search.Look     // the recipe's, its powders as listed
	Wanted  *search.Shimmer // what additions are held to; nil for the shade alone

	Strengths   []Strength // of the batch's powders
	Offset      colour.Lab // what strengths do not explain of the last reading, carried along where it was read as worn
	Unexplained float64    // ΔE00 of it
	ByEye       bool       // the last reading was told from pairs, or in words
}

// problem is one such search.
type problem struct {
	Request
	State
	ctx    context.Context
	own    []*palette.Pigment // the batch's, as strong as they turned out
	listed []*palette.Pigment // the same as listed
	grams  []float64          // left of each
	left   float64            // g of the batch
	offset colour.Lab         // State's, or 0 where it was not read as worn
	none   answer             // nothing added

	mixtures map[[search.MostParts]*palette.Pigment]*search.Mixture // of these powders
	bits     map[*palette.Pigment]answer                            // the best addition of one
	found    map[asking]answer                                      // what at has found

	plain   bool    // no green, blue or violet powder is brought into it that was not asked for
	without float64 // ΔE00 the best comes to that brings none; 0 where none may be
}

// begin checks a request and takes its defaults.
func (q Request) begin(ctx context.Context) (*problem, error) {
	r, err := q.Shade.WithDefaults()
	if err != nil {
		return nil, err
	}
	q.Shade = r
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
	case len(q.Readings) == 0:
		return nil, errors.New("nothing was read of the batch; a reading, or whole rounds of pairs, is needed")
	case len(q.Batch.Powders) > search.MostParts-q.NewPowders:
		return nil, fmt.Errorf("%d powders in the batch; at most %d can be mended", len(q.Batch.Powders), search.MostParts-q.NewPowders)
	}
	if err := q.Batch.Check(); err != nil {
		return nil, err
	}
	c := &problem{Request: q, ctx: ctx, left: q.Batch.Grams(), mixtures: map[[search.MostParts]*palette.Pigment]*search.Mixture{}, bits: map[*palette.Pigment]answer{}, found: map[asking]answer{}}
	c.Shade.Memory = new(search.Memory)
	if err := c.learn(); err != nil {
		return nil, err
	}
	if err := c.shimmer(); err != nil {
		return nil, err
	}
	if c.none, err = c.at(0); err != nil {
		return nil, err
	}
	c.Lab = c.none.lab
	c.Missing = colour.MissingOf(c.Lab, c.Shade.Targets[0].Lab)
	return c, nil
}

// learn turns the readings into strengths and an offset.
func (c *problem) learn() error {
	for _, p := range c.Batch.Powders {
		c.listed = append(c.listed, p.Pigment)
		c.grams = append(c.grams, p.Grams*c.Batch.left())
	}
	a, err := learnt(&c.Shade, c.listed, c.Readings)
	if err != nil {
		return err
	}
	factors, err := a.find(0)
	if err != nil {
		return err
	}
	last := len(a.films) - 1
	at, err := a.films[last].lab(factors)
	if err != nil {
		return err
	}
	c.ByEye = c.Readings[last].ByEye
	c.Unexplained = colour.DeltaE00(a.wanted[last], at)
	c.Offset = less(a.wanted[last], at)
	if a.films[last].asWorn {
		c.offset = c.Offset
	}
	c.Shade.Targets = slices.Clone(c.Shade.Targets)
	for i := range c.Shade.Targets {
		// What the last reading showed the model to miss.
		if g := &c.Shade.Targets[i]; g.Aspecular == 0 && (g.Viewing == nil || g.Viewing == c.Shade.Light) {
			g.Offset = c.offset
		}
	}
	if c.MaxLoad == 0 {
		for _, g := range c.grams {
			c.MaxLoad += 100 * g / c.left
		}
		c.MaxLoad = math.Min(film.MaxLoad, c.MaxLoad+MoreLoad)
	}
	for i, g := range c.listed {
		c.Strengths = append(c.Strengths, Strength{g, factors[i]})
		c.own = append(c.own, g.AtStrength(factors[i]))
	}
	return nil
}

// asking is what an answer depends on, of one problem.
type asking struct {
	growth     float64
	newPowders int
	plain      bool
}

// answer is the best mixture at one growth.
type answer struct {
	growth float64
	delta  float64 // ΔE00 of the shade and of what is missing of the shimmer together
	lab    colour.Lab
	use    []*palette.Pigment // the powders of the mixture
	grams  []float64          // of each, in all
	base   float64            // g of base added
}

// unseen is a gain in ΔE00 that is not worth an addition: under what an
// instrument put back on the same card repeats, 0.1 to 0.3 (common practice).
const unseen = 0.1

// remake is the mixture of all powders and base that grows the batch least
// within the ΔE00 asked for, or comes nearest.
func (c *problem) remake() (best answer, err error) {
	if c.DeltaE > 0 && c.none.delta <= c.DeltaE {
		return c.none, nil
	}
	if best, err = c.at(c.MaxGrowth); err != nil {
		return best, err
	}
	switch {
	case best.delta <= c.DeltaE:
		best, err = c.least(best, c.DeltaE, 1e-4)
	case c.none.delta <= best.delta+unseen:
		return c.none, nil
	default:
		// Base that changes nothing is not worth adding.
		best, err = c.least(best, best.delta+0.01, 1e-3)
	}
	if err != nil || c.BalanceStep == 0 {
		return best, err
	}
	return c.rounded(best)
}

// least returns the answer of the least growth within a ΔE00, a being one that is,
// of those a whole number of times fine, so that it does not hang on where the search
// begins. What growth allows, more growth allows too. Walks from what is known lead
// there, whole searches there and a step lower make sure.
func (c *problem) least(a answer, within, fine float64) (answer, error) {
	low, high := 0, int(math.Ceil(a.growth/fine-1e-9))
	known, choice := a, len(c.others()) > 0
	var err error
	guess := sort.Search(high, func(n int) bool {
		b := c.from(known, float64(n)*fine)
		if err == nil && choice && b.delta > within { // other powders may do
			b, err = c.at(float64(n) * fine)
		}
		if b.delta <= within {
			known = b
		}
		return b.delta <= within
	})
	if err != nil {
		return a, err
	}
	for try := guess; high-low > 1; try-- {
		middle := (low + high) / 2
		if try > low && try < high && try >= guess-1 {
			middle = try
		}
		b, err := c.at(float64(middle) * fine)
		if err != nil {
			return a, err
		}
		if b.delta <= within {
			high, a = middle, b
		} else {
			low = middle
		}
	}
	return a, nil
}

// from is the best of an answer's powders at another growth, where a walk from it
// leads; none of any use where there is none.
func (c *problem) from(a answer, growth float64) answer {
	if growth == 0 {
		return c.none
	}
	m, err := c.mixture(a.use)
	after := c.left * (1 + growth)
	percent, lo, hi := make([]float64, len(a.use)), make([]float64, len(a.use)), make([]float64, len(a.use))
	for i, g := range a.use {
		had := c.had(g)
		percent[i] = 100 * (had + (a.grams[i]-had)*growth/a.growth) / after
		lo[i] = 100 * had / after
		hi[i] = c.most(g, lo[i], growth*c.left, after)
	}
	least, most := c.loads(growth)
	if err != nil || !m.Walk(percent, lo, hi, least, most) {
		return answer{delta: math.Inf(1)}
	}
	return c.answer(m, a.use, percent, growth)
}

// at returns the best mixture when the batch may grow by a share of itself.
func (c *problem) at(growth float64) (answer, error) {
	if err := c.ctx.Err(); err != nil {
		return answer{}, err
	}
	if growth == 0 {
		a := answer{use: c.own, grams: c.grams}
		m, err := c.mixture(a.use)
		if err == nil {
			c.judge(m, &a, math.Inf(1))
		}
		return a, err
	}
	asked := asking{growth, c.NewPowders, c.plain}
	if a, known := c.found[asked]; known {
		return a, nil
	}
	parts, err := search.Nearest(c.ctx, c.asked(growth))
	if err != nil {
		return answer{growth: growth}, err
	}
	var use []*palette.Pigment
	for _, part := range parts {
		use = append(use, part.Pigment)
	}
	m, err := c.mixture(use)
	if err != nil {
		return answer{growth: growth}, err
	}
	a := c.answer(m, use, search.Percents(parts), growth)
	c.found[asked] = a
	return a, nil
}

// answer is a mixture of powders in per cent at a growth.
func (c *problem) answer(m *search.Mixture, use []*palette.Pigment, percent []float64, growth float64) answer {
	after := c.left * (1 + growth)
	a := answer{growth: growth, use: use, base: after - c.left}
	for i, g := range use {
		had := c.had(g)
		a.grams = append(a.grams, math.Max(had, percent[i]*after/100))
		a.base -= a.grams[i] - had
	}
	a.base = math.Max(0, a.base)
	c.judge(m, &a, math.Inf(1))
	return a
}

// judge fills in how an answer looks, m being of its powders. Of one whose shade
// alone is farther off than a ΔE00 within, the shimmer is left out.
func (c *problem) judge(m *search.Mixture, a *answer, within float64) {
	percent := make([]float64, len(a.use))
	for i, g := range a.grams {
		percent[i] = 100 * g / (c.left * (1 + a.growth))
	}
	shade, missing, lab := m.Seen(percent, within)
	a.delta = c.Shade.Distance(shade + missing)
	a.lab = plus(lab, c.offset)
}

// stock is what there is of a powder, g; what is not known is enough.
func (c *problem) stock(g *palette.Pigment) float64 {
	if c.Shade.Choice.InStock == 0 && g.StockG == 0 {
		return math.Inf(1)
	}
	return g.StockG
}

// had is what the batch holds of a powder, g.
func (c *problem) had(g *palette.Pigment) float64 {
	if k := slices.Index(c.own, g); k >= 0 {
		return c.grams[k]
	}
	return 0
}

// mixture tells what amounts of powders look like on the skin.
func (c *problem) mixture(powders []*palette.Pigment) (*search.Mixture, error) {
	var these [search.MostParts]*palette.Pigment
	copy(these[:], powders)
	if m := c.mixtures[these]; m != nil {
		return m, nil
	}
	parts := make([]film.Part, len(powders))
	for i, g := range powders {
		parts[i].Pigment = g
	}
	m, err := search.NewMixture(c.Shade, parts)
	if err == nil {
		c.mixtures[these] = m
	}
	return m, err
}

// asked is the match a growth allows: no powder below what is in the batch
// already, and no more in all than the growth.
func (c *problem) asked(growth float64) search.Request {
	r := c.Shade
	after, added := c.left*(1+growth), growth*c.left
	r.Powders, r.Looks = nil, false
	r.Choice = search.Choice{Limits: map[string]search.Limit{}}
	r.Most = len(c.own) + c.NewPowders
	for _, g := range slices.Concat(c.own, c.others()) {
		l := search.Limit{AtLeast: 100 * c.had(g) / after}
		if l.AtMost = c.most(g, l.AtLeast, added, after); l.AtMost > 0 {
			r.Powders = append(r.Powders, g)
			r.Choice.Limits[g.Name] = l
		}
	}
	r.LoadLo, r.LoadHi = c.loads(growth)
	return r
}

// loads are the least and the most load there may be at a growth, % w/w.
func (c *problem) loads(growth float64) (least, most float64) {
	after := c.left * (1 + growth)
	for _, g := range c.grams {
		least += 100 * g / after
	}
	most = least + 100*growth/(1+growth)
	switch {
	case c.NoBase:
		return most, most
	case most > c.MaxLoad: // powders past the most a product may hold go with base or not at all
		most = math.Max(c.MaxLoad, least)
	}
	return least, most
}

// most is the most there may be of a powder, % w/w: what is in cannot be taken
// out.
func (c *problem) most(g *palette.Pigment, least, added, after float64) float64 {
	most := least + 100*math.Min(added, c.stock(g))/after
	if l := c.Shade.Choice.Limit(g.Name); l.AtMost > 0 {
		most = math.Min(most, l.AtMost)
	}
	return math.Max(least, most)
}

// others are the powders that may go in beside the batch's own: the drawer's
// choices say which.
func (c *problem) others() (more []*palette.Pigment) {
	if c.NewPowders == 0 {
		return nil
	}
	q := c.Shade
	q.Choice.Must, q.Choice.CostPer100, q.Choice.Limits = nil, 0, nil
	q.Most = search.MostPowders
	use, _, err := q.Usable()
	if err != nil {
		return nil // none is left to choose from
	}
	for _, g := range use {
		if c.plain && c.Shade.Unasked(g) {
			continue
		}
		if !slices.ContainsFunc(c.listed, func(h *palette.Pigment) bool { return h.Name == g.Name }) {
			more = append(more, g)
		}
	}
	return more
}

// rounded brings the additions to whole steps of the balance that can be
// weighed and are there: of every way to round each up or down, the one that
// grows the batch least within the ΔE00 asked for, or else the nearest, where what is
// rounded up to be weighed at all counts as search.EqualDeltaE farther; none where
// nothing that can be weighed comes nearer.
func (c *problem) rounded(a answer) (answer, error) {
	m, err := c.mixture(a.use)
	if err != nil {
		return a, err
	}
	n := len(a.use)
	ways := make([][2]float64, n+1) // grams of each addition, the base last
	forced, unasked := 0, 0         // bits of the additions of which there would be too little, and of those not to be made
	for i := range ways {
		more := a.base
		if i < n {
			more = a.grams[i] - c.had(a.use[i])
		}
		low := math.Floor(more/c.BalanceStep + 1e-9)
		high := low + 1
		if low < leastSteps {
			low, high = 0, leastSteps
			if more < (leastSteps-0.5)*c.BalanceStep {
				forced |= 1 << i
			}
			if more < 1e-9*c.left {
				unasked |= 1 << i
			}
		}
		ways[i] = [2]float64{low * c.BalanceStep, high * c.BalanceStep}
	}
	best, nearest := c.none, c.none.delta
	for way := range 1 << (n + 1) {
		if way&unasked != 0 {
			continue
		}
		b := answer{use: a.use, grams: make([]float64, n), base: ways[n][way>>n&1]}
		added, powders, there := b.base, 0.0, true
		for i, g := range a.use {
			more := ways[i][way>>i&1]
			b.grams[i] = c.had(g) + more
			added += more
			powders += b.grams[i]
			there = there && more <= c.stock(g)
		}
		b.growth = added / c.left
		over := added > b.base && 100*powders > c.MaxLoad*(c.left+added)*(1+1e-12)
		if !there || over || b.growth > c.MaxGrowth+1e-12 || b.base > 0 && c.NoBase {
			continue
		}
		c.judge(m, &b, max(best.delta, c.DeltaE))
		in, was := c.DeltaE > 0 && b.delta <= c.DeltaE, c.DeltaE > 0 && best.delta <= c.DeltaE
		far := b.delta + search.EqualDeltaE*float64(bits.OnesCount(uint(way&forced)))
		switch {
		case in && !was, in && was && b.growth < best.growth-1e-12, !in && !was && far < nearest:
			best, nearest = b, far
		}
	}
	return best, nil
}

// asMending tells an answer.
func (c *problem) asMending(a answer) *Mending {
	out := &Mending{
		Growth: a.growth, AfterGrams: c.left * (1 + a.growth), BaseGrams: a.base,
		WaterGrams: math.Min(a.base, c.Batch.EvaporatedG*c.Batch.left()),
		Lab:        a.lab, DeltaE00: colour.DeltaE00(a.lab, c.Shade.Targets[0].Lab),
		Reached: c.DeltaE == 0 || a.delta <= c.DeltaE+0.02,
	}
	if said := c.odd(a); len(said) > 0 {
		out.Because = search.Unlike(said, c.without)
	}
	for i, g := range a.use {
		listed, k := g, slices.Index(c.own, g)
		if k >= 0 {
			listed = c.listed[k]
		}
		if added := a.grams[i] - c.had(g); added > 1e-9*c.left {
			out.Additions = append(out.Additions, Addition{listed, added, k < 0})
		}
		if a.grams[i] > 0 {
			out.Parts = append(out.Parts, film.Part{Pigment: g, Percent: 100 * a.grams[i] / out.AfterGrams})
		}
	}
	return out
}

func plus(a, b colour.Lab) colour.Lab { return colour.Lab{L: a.L + b.L, A: a.A + b.A, B: a.B + b.B} }
func less(a, b colour.Lab) colour.Lab { return colour.Lab{L: a.L - b.L, A: a.A - b.A, B: a.B - b.B} }
