package search

import (
	"context"
	"math"
	"runtime"
	"slices"
	"sync/atomic"
)

// The search tries every subset of the palette up to a number of powders.
//
// Most subsets need no solve of their own. Say the best of a subset's facets
// (the subset less one powder) ends at shares x with objective f. If f does
// not fall when a first trace of the missing powder is added at x, the load
// held, then x satisfies the first-order (KKT) conditions of the whole subset
// too and is its answer, with that powder at zero: the subset is settled by
// inheritance. Else a descent from x leads to something strictly better. The
// gradient that decides is worked out once for each solved mixture and holds
// for every powder, so settling a subset costs one comparison.
//
// Inheritance takes the place of a lower bound that would exclude subsets: it
// settles them for the price of one, and needs no bound to be trusted.
//
// f is not convex, so a KKT point need not be the subset's only one. That it
// is in practice is evidence from multi-start tests, not proof. So subsets of
// one and two powders, on which all the others stand, are also started from
// mixtures of their own, as is any descent that fails to converge, and in the
// end the best subsets are started again (see restart).

// found is one solved mixture: a subset whose optimum uses all its powders.
type found struct {
	f              float64
	n              int
	index          [MostParts]uint16
	x              [MostParts]float64
	muSum, muLimit float64
	grad           []float64 // ∂f/∂share of every powder, nil on the last level
	settled        bool      // on the film itself
	wishing        bool      // the wish for a shimmer was needed
	extra          bool      // from widening: its subset may be among the found already
}

// Counts says how a search went. Every subset of the powders searched is either
// solved, inherited or infeasible; none is left out.
type Counts struct {
	Powders    int `json:"powders"`    // that may be used
	Searched   int `json:"searched"`   // of them, those that blends of three and more were made of
	Subsets    int `json:"subsets"`    // considered
	Solved     int `json:"solved"`     // by a descent of their own
	Inherited  int `json:"inherited"`  // settled by a facet's KKT point
	Infeasible int `json:"infeasible"` // no mixture within the bounds
	Starts     int `json:"starts"`     // descents begun, extra ones included
	Restarted  int `json:"restarted"`  // subsets solved again from other starts at the end
	Improved   int `json:"improved"`   // of those, found better by over 0.001 ΔE00
}

// subset is the mixture's powders, in room.
func (m *found) subset(room *[MostParts]int) []int {
	for i := range m.n {
		room[i] = int(m.index[i])
	}
	return room[:m.n]
}

type search struct {
	p       *problem
	must    []int // powders in every subset
	choice  []int // powders that may be added; of a large drawer only some, once narrowed
	most    int   // powders a blend may have, must-use ones included
	limits  limits
	every   bool    // no subset is given up
	probing bool    // it is only to tell how near something comes
	keep    int     // how many of the best are wanted
	each    int     // and of each number of powders
	equal   float64 // √f within which all are wanted, up to settleBest
	worth   float64 // √f that is asked for, where farther ones may be left where they are
	workers int

	found  []found
	counts Counts
}

// chunkOf is how many of count subsets a worker takes at a time. It follows
// from count alone, so results do not depend on the workers, and the table of
// chunks stays small for the largest drawer.
func chunkOf(count int) int { return max(128, count/(1<<14)) }

// startedLevels and startedMost say which subsets are started from several
// mixtures: those of so many choices, where there are at most so many.
const (
	startedLevels = 2
	startedMost   = 5000
)

// run fills found. progress, if not nil, is told the share done, 0 to 1.
func (s *search) run(ctx context.Context, progress func(done float64)) error {
	if s.workers <= 0 {
		s.workers = runtime.GOMAXPROCS(0)
	}
	levels := s.most - len(s.must)
	if levels > len(s.choice) {
		levels = len(s.choice)
	}
	var before []int32 // by rank: the found mixture of each subset one smaller, or -1
	first := 0
	if len(s.must) == 0 {
		first = 1
	}
	total, done := 0, atomic.Int64{}
	for k, n := first, len(s.choice); k <= levels; k++ {
		n = s.limits.searchable(n, k, levels)
		total += binomial(n, k)
	}
	s.counts.Powders = len(s.must) + len(s.choice)
	for k := first; k <= levels; k++ {
		count := binomial(len(s.choice), k)
		chunk := chunkOf(count)
		results := make([]levelChunk, (count+chunk-1)/chunk)
		after := make([]int32, count)
		bar := math.Inf(1)
		if k == levels && !s.every {
			bar = s.bar()
		}
		s.parallel(ctx, len(results), func(work *solver, c int) {
			work.bar = bar
			lo, hi := c*chunk, min((c+1)*chunk, count)
			s.level(work, k, lo, hi, before, after, &results[c])
			if n := done.Add(int64(hi - lo)); progress != nil {
				progress(float64(n) / float64(total))
			}
		})
		if err := ctx.Err(); err != nil {
			return err
		}
		start := len(s.found)
		for c := range results {
			r := &results[c]
			base := int32(len(s.found))
			for i := c * chunk; i < min((c+1)*chunk, count); i++ {
				if after[i] <= ownMark {
					after[i] = base + (ownMark - after[i])
				}
			}
			s.found = append(s.found, r.found...)
			s.counts.Subsets += r.counts.Subsets
			s.counts.Solved += r.counts.Solved
			s.counts.Inherited += r.counts.Inherited
			s.counts.Infeasible += r.counts.Infeasible
			s.counts.Starts += r.counts.Starts
		}
		if k < levels {
			keep := s.limits.searchable(len(s.choice), k+1, levels)
			if s.probing && k == 2 {
				keep = max(k+1, int(probedShare*float64(keep)))
			}
			before = s.narrow(k, keep, after)
			s.finish(ctx, start)
		}
	}
	s.counts.Searched = len(s.must) + len(s.choice)
	return ctx.Err()
}

// bar is the f beyond which a mixture is not worth solving for: that of the last that
// is wanted of those found so far, each by the powders really in it.
func (s *search) bar() float64 {
	worth, wanted := s.worth, s.keep
	for _, id := range s.order((*found).whole) {
		if wanted--; wanted == 0 {
			worth = min(worth, math.Max(s.equal, math.Sqrt(s.found[id].f))+quickOff)
		}
	}
	return worth * worth
}

// whole reports whether all powders of a mixture are really in it.
func (m *found) whole() bool { return slices.Min(m.x[:m.n]) > presentShare }

// ownMark and below stand for a chunk's own results before they are numbered:
// ownMark − i is the chunk's i-th. −1 is an infeasible subset.
const ownMark = -2

type levelChunk struct {
	found  []found
	counts Counts
}

// level settles the subsets of k choices with ranks lo to hi, roughly.
func (s *search) level(work *solver, k, lo, hi int, before, after []int32, out *levelChunk) {
	m := len(s.must)
	n := m + k
	started := k <= startedLevels && binomial(len(s.choice), k) <= startedMost
	var pick [MostParts]int // ranks of the choices, ascending
	unrank(lo, k, pick[:k])
	var index, facet [MostParts]int
	copy(index[:], s.must)
	for rank := lo; rank < hi; rank++ {
		for i := range k {
			index[m+i] = s.choice[pick[i]]
		}
		out.counts.Subsets++
		best, without := int32(-1), 0
		for drop := 0; drop < k && before != nil; drop++ {
			for i, j := 0, 0; i < k; i++ {
				if i != drop {
					facet[j] = pick[i]
					j++
				}
			}
			id := before[rankOf(facet[:k-1])]
			if id >= 0 && (best < 0 || s.found[id].f < s.found[best].f) {
				best, without = id, drop
			}
		}
		mark, bar := int32(-1), math.Inf(1)
		var own outcome
		solved := false
		wishing := best >= 0 && s.found[best].wishing
		try := func(x *[MostParts]float64) {
			out.counts.Starts++
			if r := work.approach(index[:n], x, roughly, wishing); r.f < bar {
				own, bar, solved = r, r.f, true
			}
		}
		switch {
		case best >= 0 && s.inherits(&s.found[best], index[m+without]):
			mark, bar = best, s.found[best].f-improves
		case best >= 0:
			if x, ok := s.p.joined(&s.found[best], index[:n]); ok {
				try(&x)
			}
		default:
			if x, ok := s.p.feasible(index[:n]); ok {
				try(&x)
			}
		}
		if bar > exactEnough && (solved || mark >= 0) && (started || solved && !own.converged && !own.hopeless) {
			var from [maxStarts][MostParts]float64
			for i := range s.p.starts(index[:n], nil, &from) {
				try(&from[i])
			}
		}
		switch {
		case solved:
			out.counts.Solved++
			mark = ownMark - int32(len(out.found))
			f := found{f: own.f, n: n, x: own.x, wishing: own.wishing}
			for i := range n {
				f.index[i] = uint16(index[i])
			}
			out.found = append(out.found, f)
		case mark >= 0:
			out.counts.Inherited++
		default:
			out.counts.Infeasible++
		}
		after[rank] = mark
		advance(pick[:k])
	}
}

// improves is how much lower f must be, in ΔE00², for a start of a subset's
// own to be kept over what it inherits.
const improves = 1e-8

// finish walks the mixtures found from one on to the optimum, and works out what
// larger subsets inherit from them.
func (s *search) finish(ctx context.Context, from int) {
	const chunk = 32
	list := s.found[from:]
	s.parallel(ctx, (len(list)+chunk-1)/chunk, func(work *solver, c int) {
		n := len(s.p.powders)
		some := list[c*chunk : min((c+1)*chunk, len(list))]
		var grads []float64
		for i := range some {
			m := &some[i]
			if !s.searches(m) {
				continue
			}
			r := work.approach(m.subset(&[MostParts]int{}), &m.x, settled, m.wishing)
			m.take(&r)
			m.muSum, m.muLimit, m.settled = r.muSum, r.muLimit, false
			if grads == nil {
				grads = make([]float64, n*len(some))
			}
			m.grad = grads[i*n:][:n:n]
			work.eval.wishing = m.wishing
			work.eval.all(&m.x)
			work.eval.foreign(m.grad)
		}
	})
}

// inherits reports whether a mixture stays optimal when powder l is allowed
// too: adding it, in exchange for the load of those present, must not promise
// a fall of f.
func (s *search) inherits(m *found, l int) bool {
	if m.f < exactEnough {
		return true
	}
	u := &s.p.powders[l]
	reduced := m.grad[l] - m.muSum - m.muLimit*u.limited
	return reduced > -1e-6
}

// joined is where a subset's walk begins: a mixture of one of its facets with the
// powders it lacks at the least they may be in it, room made by the others; some
// other mixture where there is no such room, or false where there is none.
func (p *problem) joined(m *found, index []int) (x [MostParts]float64, ok bool) {
	x = spread(m, index)
	sum, room, need := 0.0, 0.0, 0.0
	for i, k := range index {
		sum += x[i]
		if lo := p.powders[k].lo; x[i] < lo {
			need += lo - x[i]
		} else {
			room += x[i] - lo
		}
	}
	if need == 0 {
		return x, true
	}
	if give := math.Max(0, sum+need-p.sumHi); give <= room {
		for i, k := range index {
			if lo := p.powders[k].lo; x[i] < lo {
				x[i] = lo
			} else if give > 0 {
				x[i] -= give * (x[i] - lo) / room
			}
		}
		if p.limitOf(index, &x) <= p.limitHi {
			return x, true
		}
	}
	return p.feasible(index)
}

// spread writes a mixture out over a larger subset, absent powders at their
// lower bound of 0.
func spread(m *found, index []int) (x [MostParts]float64) {
	for i, k := range index {
		for j := range m.n {
			if int(m.index[j]) == k {
				x[i] = m.x[j]
			}
		}
	}
	return x
}
