package mend

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sort"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
)

// Bounds of a small mending, conventions of this tool.
const (
	leastSteps  = 5    // of the balance: less cannot be weighed
	leastGain   = 0.25 // share of how far off it is that an addition must mend
	mostOptions = 3
)

// oneIn20 is how many standard deviations a normal error exceeds once in 20
// (published: any table of the normal distribution).
const oneIn20 = 1.645

// Options returns at most three ways of mending a batch, smallest first: a bit
// of one powder, a bit of base, a small remake; and the batch as it stands. None
// is over the load allowed, asks for more of a powder than is in stock where that
// is known, or cannot be weighed; each mends a quarter of what is wrong at least,
// and as much again more than the smaller ones, but for a remake that a third of it
// goes before (see rougher); and for 95 of 100 errors of the reading it makes nothing
// worse. With DeltaE the list ends with the first to come within it.
//
// The readings first teach how strong the powders in the batch really are (see
// Reading); what strengths do not explain of a colour read as worn is carried
// along as an offset.
func Options(ctx context.Context, q Request) (*Found, error) {
	c, err := q.begin(ctx)
	if err != nil {
		return nil, err
	}
	out := &Found{State: c.State, c: c}
	k := *c
	k.plain = true
	list, nearest, err := k.ways()
	if err == nil && nearest > search.RuleWorth && len(c.others()) > len(k.others()) {
		k.plain, k.without = false, nearest
		more, best, freeErr := k.ways()
		if err = freeErr; nearest-best > search.RuleWorth {
			list = more
		}
	}
	for _, a := range list {
		out.Options = append(out.Options, k.asMending(a))
	}
	return out, err
}

// ways are the answers that Options gives, and the ΔE00 the last comes to.
func (c *problem) ways() (list []answer, best float64, err error) {
	best = c.none.delta
	remake, err := c.careful()
	if err != nil {
		return nil, best, err
	}
	found := []answer{remake}
	for _, g := range slices.Concat(c.own, c.others(), []*palette.Pigment{nil}) {
		a, err := c.bit(g)
		if err != nil {
			return nil, best, err
		}
		found = append(found, a)
	}
	sort.SliceStable(found, func(i, j int) bool {
		a, b := found[i], found[j]
		return a.growth < b.growth-1e-9 || a.growth < b.growth+1e-9 && a.delta < b.delta
	})
	for _, a := range found {
		if c.DeltaE > 0 && best <= c.DeltaE || len(list) == mostOptions {
			break
		}
		if c.mends(a, best) {
			best = a.delta
			list = append(list, a)
		}
	}
	if n := len(list) - 1; n >= 0 && n+1 < mostOptions && list[n].growth == remake.growth {
		list, err = c.rougher(list)
	}
	return list, best, err
}

// rougher puts before the last way, a remake, one a third as large that does most of
// what it does, where there is such a one.
func (c *problem) rougher(list []answer) ([]answer, error) {
	n := len(list) - 1
	last, before := list[n], c.none
	if n > 0 {
		before = list[n-1]
	}
	a, err := c.at(last.growth / 3)
	if err == nil && c.BalanceStep > 0 {
		a, err = c.rounded(a)
	}
	most := (c.none.delta + last.delta) / 2
	if err == nil && a.growth > before.growth && a.delta > last.delta && a.delta <= most && c.mends(a, before.delta) {
		list = slices.Insert(list, n, a)
	}
	return list, err
}

// Found is what would mend a batch.
type Found struct {
	State
	Options []*Mending // smallest first

	c *problem
}

// Right reports whether the batch needs nothing.
func (f *Found) Right() bool { return f.c.none.delta <= math.Max(f.c.DeltaE, RightWithin) }

// RightWithin is the ΔE00 within which a batch needs nothing: what readings
// repeat to.
const RightWithin = InstrumentError

// mends reports whether an answer is worth its growth after one that comes to a
// ΔE00 of best, and risks nothing; with a green, blue or violet powder it must also
// be worth that, as in a match.
func (c *problem) mends(a answer, best float64) bool {
	return a.growth > 0 && a.delta <= best-c.gain() && c.safe(a) &&
		(len(c.odd(a)) == 0 || c.without-a.delta > search.RuleWorth)
}

// odd says which green, blue or violet powders an answer brings into the batch.
func (c *problem) odd(a answer) (said []string) {
	for i, g := range a.use {
		if a.grams[i] > 1e-9*c.left && !slices.Contains(c.own, g) && c.Shade.Unasked(g) {
			said = append(said, g.Name+" is in it")
		}
	}
	return said
}

// gain is the least worth adding for, ΔE00.
func (c *problem) gain() float64 { return math.Max(leastGain*c.none.delta, unseen) }

// growthStep is between the growths looked at up to as much again, a convention
// of this tool.
const growthStep = 0.05

// leastPart is the smallest part of a remake that is looked at, and the step between
// parts, a convention of this tool.
const leastPart = 0.25

// careful is the remake where it risks nothing, or else the nearest of it and of
// what is best at each growth, or as much of those as risks nothing and may be added:
// a part of a larger one may do where a smaller one whole does not. Where more than
// usual may be added they are gone through to the end, so that what one growth offers
// more does too; else to where the remake stops: of 300 told in words one would come
// out worse by going on.
func (c *problem) careful() (answer, error) {
	whole, err := c.remake()
	if err != nil || c.safe(whole) {
		return whole, err
	}
	best, end := c.none, min(1, whole.growth)
	if c.MaxGrowth > UsualGrowth {
		end = min(1, c.MaxGrowth/leastPart)
	}
	for n := 1.0; ; n++ {
		now, growth := whole, n*growthStep
		below := growth < end-1e-9
		if below {
			if now, err = c.at(growth); err != nil {
				return best, err
			}
		}
		for part := 1.0; part >= leastPart && now.delta < best.delta-0.01; part -= leastPart {
			if now.growth*part > c.MaxGrowth+1e-9 {
				continue
			}
			a, err := c.partOf(now, part)
			if err != nil {
				return best, err
			}
			if c.safe(a) {
				if a.delta < best.delta-0.01 { // later ones must be worth being larger
					best = a
				}
				break
			}
		}
		if !below || c.DeltaE > 0 && best.delta <= c.DeltaE {
			return best, nil
		}
	}
}

// Otherwise finds what takes least where nothing small helps: a bit of a powder
// the batch has none of, a remake with one or two of those, more of its own than
// may be added, or a fresh batch as large as this one was; nil where nothing does.
// grow is the MaxGrowth that offers what is found, the same as before where that does.
func (f *Found) Otherwise() (_ *Mending, grow float64, fresh bool, err error) {
	c := *f.c
	for _, c.plain = range []bool{true, false} {
		if out, grow, err := c.goesIn(); out != nil || err != nil {
			return out, grow, false, err
		}
		c.without = c.none.delta
	}
	out, fresh, err := f.c.anew()
	return out, c.MaxGrowth, fresh, err
}

// goesIn is that of Otherwise which goes into the batch; nil where nothing helps.
func (c *problem) goesIn() (*Mending, float64, error) {
	k := *c
	k.NewPowders = 1
	var bits []answer
	nearest := math.Inf(1)
	for _, g := range k.others() {
		a, err := k.bit(g)
		if err != nil {
			return nil, 0, err
		}
		if k.mends(a, c.none.delta) {
			bits = append(bits, a)
			nearest = math.Min(nearest, a.delta)
		}
	}
	bits = slices.DeleteFunc(bits, func(a answer) bool { return a.delta > nearest+search.EqualDeltaE })
	if len(bits) > 0 {
		return c.asMending(slices.MinFunc(bits, func(a, b answer) int {
			return cmp.Or(cmp.Compare(a.cost(), b.cost()), cmp.Compare(a.growth, b.growth))
		})), c.MaxGrowth, nil
	}
	tries := []problem{}
	for n := c.NewPowders + 1; n <= 2 && len(c.own)+n <= search.MostParts; n++ {
		k.NewPowders = n
		tries = append(tries, k)
	}
	k.NewPowders, k.MaxGrowth = c.NewPowders, math.Max(c.MaxGrowth, 1)
	for _, k := range append(tries, k) {
		a, err := k.careful()
		if err != nil {
			return nil, 0, err
		}
		switch {
		case !k.mends(a, c.none.delta):
		case k.NewPowders > c.NewPowders:
			return c.asMending(a), c.MaxGrowth, nil
		case a.growth > c.MaxGrowth:
			return k.grown(a, c.MaxGrowth)
		}
	}
	return nil, 0, nil
}

// grown is a, the nearest way there is by growing, or the one of the least MaxGrowth
// over most that offers any, to a growthStep; and that MaxGrowth.
func (c *problem) grown(a answer, most float64) (*Mending, float64, error) {
	low, high := int(most/growthStep+1e-9), int(math.Ceil(c.MaxGrowth/growthStep-1e-9))
	k := *c
	for high-low > 1 {
		middle := (low + high) / 2
		k.MaxGrowth = float64(middle) * growthStep
		b, err := k.careful()
		if err != nil {
			return nil, 0, err
		}
		if k.mends(b, c.none.delta) {
			high, a = middle, b
		} else {
			low = middle
		}
	}
	return c.asMending(a), float64(high) * growthStep, nil
}

// cost is that of the powder added last.
func (a *answer) cost() float64 {
	last := len(a.use) - 1
	return a.grams[last] * a.use[last].PricePerG
}

// anew is the best batch made from the beginning with the powder it has most of,
// each as strong as it turned out.
func (c *problem) anew() (*Mending, bool, error) {
	r := c.Shade
	r.Powders = slices.Clone(r.Powders)
	load, most := 0.0, 0
	for i, g := range c.own {
		load += 100 * c.grams[i] / c.left
		if c.grams[i] > c.grams[most] {
			most = i
		}
		if k := slices.Index(r.Powders, c.listed[i]); k >= 0 {
			r.Powders[k] = g
		}
	}
	r.Choice.Must = []string{c.own[most].Name}
	r.LoadLo, r.LoadHi, r.Keep = load/2, math.Min(load+MoreLoad, film.MaxLoad), 1
	res, err := search.Match(c.ctx, r)
	if c.ctx.Err() != nil {
		return nil, false, c.ctx.Err()
	}
	if err != nil || c.Shade.Distance(res.Blends[0].Objective) > c.none.delta-c.gain() {
		return nil, false, nil // nothing helps
	}
	b := &res.Blends[0]
	out := &Mending{AfterGrams: c.Batch.BatchGrams, Parts: b.Parts, Lab: plus(b.Lab, c.offset)}
	out.BaseGrams = out.AfterGrams
	out.DeltaE00 = colour.DeltaE00(out.Lab, c.Shade.Targets[0].Lab)
	for _, part := range b.Parts {
		grams := part.Percent * out.AfterGrams / 100
		out.BaseGrams -= grams
		out.Additions = append(out.Additions, Addition{Pigment: part.Pigment, Grams: grams})
	}
	return out, true, nil
}

// safe reports whether an answer makes the batch no worse for 95 of 100 errors of the
// last reading (our own choice). Off by d now and f then, with s between, it is worse
// where 2 e·s > d² - f², and the error e is normal, as large on each of three axes.
func (c *problem) safe(a answer) bool {
	along := c.Readings[len(c.Readings)-1].sigma() / math.Sqrt(3) * colour.DeltaE00(c.Lab, a.lab)
	return c.none.delta*c.none.delta-a.delta*a.delta >= 2*oneIn20*along
}

// partOf is a part of an answer's additions.
func (c *problem) partOf(a answer, part float64) (answer, error) {
	a.grams = slices.Clone(a.grams)
	for i, g := range a.use {
		had := c.had(g)
		a.grams[i] = had + part*(a.grams[i]-had)
	}
	a.base *= part
	a.growth *= part
	m, err := c.mixture(a.use)
	if err != nil {
		return a, err
	}
	c.judge(m, &a, math.Inf(1))
	if c.BalanceStep > 0 {
		return c.rounded(a)
	}
	return a, nil
}

// step is the balance's, or a hundred-thousandth of the batch without one, g.
func (c *problem) step() float64 {
	if c.BalanceStep > 0 {
		return c.BalanceStep
	}
	return 1e-5 * c.left
}

// bit is the best addition of one powder, or of base where g is nil: none where
// it cannot be weighed or helps nothing.
func (c *problem) bit(g *palette.Pigment) (answer, error) {
	if a, known := c.bits[g]; known {
		return a, nil
	}
	most := c.MaxGrowth * c.left
	use, at := c.own, 0
	if g == nil && c.NoBase {
		most = 0
	}
	if g != nil {
		powders, share := 0.0, c.MaxLoad/100
		for _, had := range c.grams {
			powders += had
		}
		most = math.Min(most, math.Min((share*c.left-powders)/(1-share), c.stock(g)))
		if at = slices.Index(c.own, g); at < 0 {
			use, at = append(slices.Clone(c.own), g), len(c.own)
		}
	}
	m, err := c.mixture(use)
	if err != nil {
		return c.none, err
	}
	best := c.none
	const tries = 60
	// with is the batch with so many of the tries' parts of the most; none where they
	// cannot be weighed.
	with := func(k int) answer {
		steps := math.Floor(most * float64(k) / tries / c.step())
		if steps < leastSteps {
			return c.none
		}
		grams := steps * c.step()
		a := answer{growth: grams / c.left, use: use, grams: make([]float64, len(use))}
		copy(a.grams, c.grams)
		if g != nil {
			a.grams[at] += grams
		} else {
			a.base = grams
		}
		c.judge(m, &a, best.delta)
		return a
	}
	// What leads away twice in a row comes back no nearer than the end of the way does.
	end, last, away := with(tries), best.delta, 0
	for k := 1; k <= tries && (away < 2 || end.delta < best.delta) && !(c.DeltaE > 0 && best.delta <= c.DeltaE); k++ {
		a := with(k)
		// Later ones must be worth being larger.
		if a.delta < best.delta-0.01 && c.safe(a) {
			best = a
		}
		if away++; a.delta <= last || a.delta <= best.delta {
			away = 0
		}
		last = a.delta
	}
	if err := c.ctx.Err(); err != nil {
		return best, err
	}
	c.bits[g] = best
	return best, nil
}
