package blend

import (
	"context"
	"math"
	"runtime"
	"sync"
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
// f is not convex, so a KKT point need not be the subset's only one. That it
// is in practice is evidence from multi-start tests, not proof; the best
// subsets are therefore started again from elsewhere (see restart).

// found is one solved mixture: a subset whose optimum uses all its powders.
type found struct {
	f             float64
	n             int
	index         [maxParts]uint16
	x             [maxParts]float64
	muSum, muCost float64
	grad          []float64 // ∂f/∂share of every powder, nil on the last level
	converged     bool
}

// Counts says how a search went.
type Counts struct {
	Subsets    int `json:"subsets"`    // considered
	Solved     int `json:"solved"`     // by a descent of their own
	Inherited  int `json:"inherited"`  // settled by a facet's KKT point
	Infeasible int `json:"infeasible"` // no mixture within the bounds
	Restarted  int `json:"restarted"`  // solved again from other starts
	Improved   int `json:"improved"`   // of those, found better by over 0.001 ΔE00
}

type search struct {
	p       *problem
	must    []int // powders in every subset
	choice  []int // powders that may be added
	most    int   // powders a blend may have, must-use ones included
	workers int

	found  []found
	counts Counts
}

const chunk = 128 // subsets a worker takes at a time; fixed, so results do not depend on workers

// run fills found. progress, if not nil, is told the share done, 0 to 1.
func (s *search) run(ctx context.Context, progress func(done float64)) error {
	if s.workers <= 0 {
		s.workers = runtime.GOMAXPROCS(0)
	}
	levels := s.most - len(s.must)
	if levels > len(s.choice) {
		levels = len(s.choice)
	}
	total, done := 0, atomic.Int64{}
	for k := 0; k <= levels; k++ {
		total += binomial(len(s.choice), k)
	}
	var before []int32 // by rank: the found mixture of each subset one smaller, or -1
	first := 0
	if len(s.must) == 0 {
		first = 1
	}
	for k := first; k <= levels; k++ {
		count := binomial(len(s.choice), k)
		last := k == levels
		chunks := (count + chunk - 1) / chunk
		results := make([]levelChunk, chunks)
		var after []int32
		if !last {
			after = make([]int32, count)
		}
		var next atomic.Int64
		var wg sync.WaitGroup
		for w := 0; w < min(s.workers, chunks); w++ {
			wg.Add(1)
			go func() {
				defer wg.Done()
				work := newSolver(s.p)
				for {
					c := int(next.Add(1)) - 1
					if c >= chunks || ctx.Err() != nil {
						return
					}
					lo, hi := c*chunk, min((c+1)*chunk, count)
					s.level(work, k, lo, hi, before, after, !last, &results[c])
					if n := done.Add(int64(hi - lo)); progress != nil {
						progress(float64(n) / float64(total))
					}
				}
			}()
		}
		wg.Wait()
		if err := ctx.Err(); err != nil {
			return err
		}
		base := int32(len(s.found))
		for c := range results {
			r := &results[c]
			if !last {
				for i := c * chunk; i < min((c+1)*chunk, count); i++ {
					if after[i] <= ownMark {
						after[i] = base + (ownMark - after[i])
					}
				}
			}
			base += int32(len(r.found))
			s.found = append(s.found, r.found...)
			s.counts.Subsets += r.counts.Subsets
			s.counts.Solved += r.counts.Solved
			s.counts.Inherited += r.counts.Inherited
			s.counts.Infeasible += r.counts.Infeasible
		}
		before = after
	}
	return nil
}

// ownMark and below stand for a chunk's own results before they are numbered:
// ownMark − i is the chunk's i-th. −1 is an infeasible subset.
const ownMark = -2

type levelChunk struct {
	found  []found
	counts Counts
}

// level settles the subsets of k choices with ranks lo to hi.
func (s *search) level(work *solver, k, lo, hi int, before, after []int32, keep bool, out *levelChunk) {
	m := len(s.must)
	var pick [maxParts]int // ranks of the choices, ascending
	unrank(lo, k, pick[:k])
	var index, facet [maxParts]int
	copy(index[:], s.must)
	for rank := lo; rank < hi; rank++ {
		for i := 0; i < k; i++ {
			index[m+i] = s.choice[pick[i]]
		}
		out.counts.Subsets++
		best, without := int32(-1), -1
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
		mark := int32(-1)
		switch {
		case best >= 0 && s.inherits(&s.found[best], index[m+without]):
			out.counts.Inherited++
			mark = best
		default:
			var x [maxParts]float64
			var ok bool
			if best >= 0 {
				ok = true
				x = spread(&s.found[best], index[:m+k])
			} else {
				x, ok = s.p.feasible(index[:m+k])
			}
			if !ok {
				out.counts.Infeasible++
				break
			}
			r := work.solve(index[:m+k], &x, stopDecrease)
			out.counts.Solved++
			mark = ownMark - int32(len(out.found))
			f := found{f: r.f, n: m + k, x: r.x, muSum: r.muSum, muCost: r.muCost, converged: r.converged}
			for i := 0; i < f.n; i++ {
				f.index[i] = uint16(index[i])
			}
			if keep {
				f.grad = make([]float64, len(s.p.powders))
				work.eval.all(&r.x)
				work.eval.foreign(f.grad)
			}
			out.found = append(out.found, f)
		}
		if after != nil {
			after[rank] = mark
		}
		advance(pick[:k])
	}
}

// inherits reports whether a mixture stays optimal when powder l is allowed
// too: adding it, in exchange for the load of those present, must not promise
// a fall of f.
func (s *search) inherits(m *found, l int) bool {
	if m.f < exactEnough {
		return true
	}
	u := &s.p.powders[l]
	if u.lo > 0 {
		return false
	}
	reduced := m.grad[l] - m.muSum - m.muCost*u.cost
	return reduced > -1e-6
}

// spread writes a mixture out over a larger subset, absent powders at their
// lower bound of 0.
func spread(m *found, index []int) (x [maxParts]float64) {
	for i, k := range index {
		for j := 0; j < m.n; j++ {
			if int(m.index[j]) == k {
				x[i] = m.x[j]
			}
		}
	}
	return x
}

// feasible returns some mixture of the subset within all bounds, nearest the
// even one, or false where there is none.
func (p *problem) feasible(index []int) (x [maxParts]float64, ok bool) {
	n := len(index)
	sumLo, sumHi := 0.0, 0.0
	for i, k := range index {
		u := &p.powders[k]
		x[i] = u.lo
		sumLo += u.lo
		sumHi += u.hi
	}
	if sumLo > p.sumHi+1e-12 || sumHi < p.sumLo-1e-12 {
		return x, false
	}
	// Start half way up where the load may vary, else at the load. Share the
	// rest out evenly, the cheapest first where there is a cost ceiling.
	goal := p.sumLo
	if p.sumHi > p.sumLo {
		goal = math.Min(math.Max((p.sumLo+p.sumHi)/2, sumLo), sumHi)
	}
	if !math.IsInf(p.costHi, 1) {
		goal = math.Max(p.sumLo, sumLo)
		p.fillCheapest(index, &x, goal-sumLo)
		cost := 0.0
		for i, k := range index {
			cost += p.powders[k].cost * x[i]
		}
		return x, cost <= p.costHi+1e-12
	}
	rest := goal - sumLo
	for round := 0; round < n && rest > 0; round++ {
		open := 0
		for i, k := range index {
			if x[i] < p.powders[k].hi {
				open++
			}
		}
		if open == 0 {
			break
		}
		each := rest / float64(open)
		for i, k := range index {
			if add := math.Min(each, p.powders[k].hi-x[i]); add > 0 {
				x[i] += add
				rest -= add
			}
		}
	}
	return x, true
}

func (p *problem) fillCheapest(index []int, x *[maxParts]float64, rest float64) {
	for rest > 1e-15 {
		cheapest := -1
		for i, k := range index {
			u := &p.powders[k]
			if x[i] < u.hi && (cheapest < 0 || u.cost < p.powders[index[cheapest]].cost) {
				cheapest = i
			}
		}
		if cheapest < 0 {
			return
		}
		add := math.Min(rest, p.powders[index[cheapest]].hi-x[cheapest])
		x[cheapest] += add
		rest -= add
	}
}
