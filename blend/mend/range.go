package mend

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"math/bits"
	"slices"

	"tawny/blend/palette"
	"tawny/blend/search"
)

// A graded range is a family of shades, one for each of several skins, made
// from one small set of powders: fewer jars to buy and to keep.

// Member is one shade of a range: a name and the match it asks for. All members
// choose from the same powders.
type Member struct {
	Name    string
	Request search.Request
}

// RangeRequest asks for a range.
type RangeRequest struct {
	Members []Member
	// Within is the ΔE00 each shade must come within of its target; 0 means 1.
	// A shade that no blend brings so near is held to within a tenth of its own
	// nearest instead.
	Within   float64
	Progress func(done float64) // share of the work done, 0 to 1
}

// RangeResult is one smallest set of powders and what it makes.
type RangeResult struct {
	Powders []*palette.Pigment `json:"powders"` // by name
	Shades  []Shade            `json:"-"`       // in the members' order
	Within  float64            `json:"withinDeltaE00"`
	// Sets is how many sets of this size serve every shade; the one returned
	// has the least worst ΔE00, then the least sum, then the first names.
	Sets int `json:"setsOfThisSize"`
	// Counted is false where there were too many sets or powders to look at every one.
	Counted bool   `json:"allSetsLookedAt"`
	LeftOut string `json:"leftOut,omitempty"` // of a large drawer
}

// Shade is one member's blend from the set.
type Shade struct {
	Name    string
	Blend   search.Blend
	Nearest float64 // ΔE00 of the best blend from the whole drawer
	Reached bool    // within Within of its target
}

// maxMembers is the most shades in one range.
const maxMembers = 12

// Range finds the smallest set of powders from which a blend for every member
// comes within the limit of its target. Of what is searched it is exact: sets are grown a
// size at a time, and a set is only passed over where some member has no blend
// within it. Cancelling ctx stops it.
func Range(ctx context.Context, q RangeRequest) (*RangeResult, error) {
	if n := len(q.Members); n < 2 || n > maxMembers {
		return nil, fmt.Errorf("a range has 2 to %d shades, got %d", maxMembers, n)
	}
	if q.Within == 0 {
		q.Within = 1
	}
	if !(q.Within > 0 && q.Within <= 20) {
		return nil, fmt.Errorf("within ΔE00 %g; more than 0 and at most 20 is accepted", q.Within)
	}
	tell := func(done float64) {
		if q.Progress != nil {
			q.Progress(done)
		}
	}
	g := &gathering{ctx: ctx}
	nearest, leftOut := make([]float64, len(q.Members)), ""
	for i, m := range q.Members {
		r := m.Request
		r.Progress = nil
		sets, near, counts, err := search.Subsets(ctx, r, q.Within, rangeSlack)
		if err != nil {
			if ctx.Err() != nil {
				return nil, ctx.Err()
			}
			return nil, fmt.Errorf("%s: %w", m.Name, err)
		}
		nearest[i], leftOut = near, cmp.Or(leftOut, counts.LeftOut())
		if err = g.add(r.Powders, sets); err != nil {
			return nil, fmt.Errorf("%s: %w", m.Name, err)
		}
		tell(0.8 * float64(i+1) / float64(len(q.Members)))
	}
	set, err := g.smallest()
	if err != nil {
		return nil, err
	}
	tell(0.9)
	res := &RangeResult{Within: q.Within, Sets: g.sets, Counted: g.sets < mostSets && leftOut == "", LeftOut: leftOut}
	var names []string
	for i, p := range g.powders {
		if set.has(i) {
			res.Powders = append(res.Powders, p)
			names = append(names, p.Name)
		}
	}
	for i, m := range q.Members {
		r := m.Request
		r.Progress, r.Keep, r.Looks = nil, 1, r.Family != ""
		r.Choice.Only = names
		r.Equal = 1e-9 // the nearest, not the simplest: the powders are bought
		one, err := search.Match(ctx, r)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", m.Name, err)
		}
		b := one.Blends[0]
		res.Shades = append(res.Shades, Shade{Name: m.Name, Blend: b, Nearest: nearest[i], Reached: b.DeltaE00 <= q.Within})
	}
	tell(1)
	return res, nil
}

// powderSet is a set of powders by number.
type powderSet [(palette.MaxPowders + 63) / 64]uint64

func (p *powderSet) put(i int)      { p[i/64] |= 1 << (i % 64) }
func (p *powderSet) has(i int) bool { return p[i/64]>>(i%64)&1 == 1 }

func (p powderSet) with(t *powderSet) powderSet {
	for i := range p {
		p[i] |= t[i]
	}
	return p
}

func (p *powderSet) size() int {
	n := 0
	for _, w := range p {
		n += bits.OnesCount64(w)
	}
	return n
}

// within reports whether s is part of t.
func (p *powderSet) within(t *powderSet) bool {
	for i := range p {
		if p[i]&^t[i] != 0 {
			return false
		}
	}
	return true
}

// option is one blend a member could have: its powders and how near it comes.
type option struct {
	set   powderSet
	delta float64
}

// gathering holds the options of every member and looks for the smallest set.
type gathering struct {
	ctx     context.Context
	powders []*palette.Pigment // all that any member may use, sorted by name
	options [][]option         // of each member, nearest first, none holding another
	sets    int
	best    powderSet
	score   [2]float64 // worst and summed ΔE00 of best
	seen    map[powderSet]bool
	visits  int
}

// mostSets and mostVisits bound the last step, telling sets of the smallest
// size apart; the size itself is exact.
const (
	mostSets   = 20000
	mostVisits = 20_000_000
)

// rangeSlack is how much further than its nearest blend a shade out of reach may
// be, ΔE00: less than can be seen, and often a powder saved.
const rangeSlack = 0.1

var errNoRange = errors.New("no set of powders serves every shade")

// add notes the options of one member, which chooses from powders.
func (g *gathering) add(powders []*palette.Pigment, sets []search.Subset) error {
	if g.powders == nil {
		g.powders = slices.Clone(powders)
		slices.SortFunc(g.powders, func(a, b *palette.Pigment) int { return cmp.Compare(a.Name, b.Name) })
	}
	number := map[string]int{}
	for i, p := range g.powders {
		number[p.Name] = i
	}
	var options []option
	for _, c := range sets {
		o := option{delta: c.Distance}
		for _, p := range c.Powders {
			n, ok := number[p.Name]
			if !ok {
				return fmt.Errorf("powder %q is not among the first shade's; all shades choose from the same drawer", p.Name)
			}
			o.set.put(n)
		}
		options = append(options, o)
	}
	// A blend whose powders hold another's adds nothing to the size of a set.
	slices.SortFunc(options, func(a, b option) int {
		return cmp.Or(cmp.Compare(a.set.size(), b.set.size()), cmp.Compare(a.delta, b.delta), slices.Compare(a.set[:], b.set[:]))
	})
	var kept []option
	for _, o := range options {
		needless := false
		for i := range kept {
			if kept[i].set.within(&o.set) && kept[i].set != o.set {
				needless = true
				break
			}
		}
		if !needless {
			kept = append(kept, o)
		}
	}
	g.options = append(g.options, kept)
	return nil
}

// smallest grows the size until some set of it serves every member.
func (g *gathering) smallest() (powderSet, error) {
	// The member with the fewest options narrows the search most.
	slices.SortStableFunc(g.options, func(a, b []option) int { return cmp.Compare(len(a), len(b)) })
	all := powderSet{}
	for _, list := range g.options {
		if len(list) == 0 {
			return all, errNoRange
		}
		all = all.with(&list[0].set)
	}
	for size := 1; size <= all.size(); size++ {
		g.sets, g.visits = 0, 0
		g.seen = map[powderSet]bool{}
		g.score = [2]float64{math.Inf(1), math.Inf(1)}
		if err := g.grow(powderSet{}, 0, size); err != nil {
			return all, err
		}
		if g.sets > 0 {
			return g.best, nil
		}
	}
	return all, nil
}

// grow serves the members from i on with at most size powders in all.
func (g *gathering) grow(set powderSet, i, size int) error {
	if g.visits++; g.visits&1023 == 0 && g.ctx.Err() != nil {
		return g.ctx.Err()
	}
	if g.sets >= mostSets || g.sets > 0 && g.visits > mostVisits {
		return nil
	}
	for i < len(g.options) && g.served(&set, i) {
		i++
	}
	if i == len(g.options) {
		if g.seen[set] {
			return nil
		}
		g.seen[set] = true
		g.sets++
		if score := g.rate(&set); score[0] < g.score[0] || score[0] == g.score[0] && score[1] < g.score[1] {
			g.best, g.score = set, score
		}
		return nil
	}
	for j := range g.options[i] {
		next := set.with(&g.options[i][j].set)
		if next.size() > size {
			continue
		}
		if err := g.grow(next, i+1, size); err != nil {
			return err
		}
	}
	return nil
}

func (g *gathering) served(set *powderSet, i int) bool {
	for j := range g.options[i] {
		if g.options[i][j].set.within(set) {
			return true
		}
	}
	return false
}

// rate returns the worst and the summed ΔE00 of the members' nearest options
// within a set.
func (g *gathering) rate(set *powderSet) (score [2]float64) {
	for _, list := range g.options {
		least := math.Inf(1)
		for j := range list {
			if list[j].set.within(set) {
				least = math.Min(least, list[j].delta)
			}
		}
		score[0] = math.Max(score[0], least)
		score[1] += least
	}
	return score
}
