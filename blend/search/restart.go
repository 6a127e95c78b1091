package search

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"
	"sync/atomic"
)

// restartBest is how many of the best subsets are started again from other
// mixtures, in case their optimum is not the only one; widenBest how many of
// the best are tried with each further powder, for the sake of the subsets
// that inherited their answer from them. Exact answers cannot be bettered and
// are passed over.
const (
	restartBest = 200
	widenBest   = 10
	settleBest  = 400
)

// polished is the promised gain in f below which a blend to be shown is done.
const polished = 1e-13

// settle walks on the best of the last level, which were settled roughly.
func (s *search) settle(ctx context.Context) {
	best := s.bestInexact(settleBest, s.most)
	s.parallel(ctx, len(best), func(work *solver, i int) {
		m := &s.found[best[i]]
		if m.grad != nil {
			return
		}
		if r := work.solve(m.subset(&[MostParts]int{}), &m.x, stopDecrease, m.wishing); r.f <= m.f {
			m.take(&r)
		}
	})
}

// restart solves the best subsets again and keeps what is better.
func (s *search) restart(ctx context.Context) error {
	again := s.bestInexact(restartBest, s.most)
	starts := make([]int, len(again))
	better := make([]bool, len(again))
	s.parallel(ctx, len(again), func(work *solver, i int) {
		starts[i], better[i] = s.again(work, &s.found[again[i]])
	})
	var wide []int
	if !s.exact() {
		wide = s.bestInexact(widenBest, s.most-1)
	}
	tasks := len(wide) * len(s.choice)
	more := make([]found, tasks)
	wideStarts := make([]int, tasks)
	s.parallel(ctx, tasks, func(work *solver, i int) {
		more[i], wideStarts[i] = s.widen(work, &s.found[wide[i/len(s.choice)]], s.choice[i%len(s.choice)])
	})
	if err := ctx.Err(); err != nil {
		return err
	}
	s.counts.Restarted = len(again)
	for i := range again {
		s.counts.Starts += starts[i]
		if better[i] {
			s.counts.Improved++
		}
	}
	for i := range more {
		s.counts.Starts += wideStarts[i]
		if wideStarts[i] > 0 {
			s.counts.Restarted++
		}
		if more[i].n > 0 {
			s.counts.Improved++
			more[i].extra = true
			s.found = append(s.found, more[i])
		}
	}
	return nil
}

// exact reports whether an exact answer has been found.
func (s *search) exact() bool {
	for i := range s.found {
		if s.found[i].f < exactEnough {
			return true
		}
	}
	return false
}

// bestInexact returns the best found mixtures of at most n powders that are
// not exact, best first.
func (s *search) bestInexact(most, n int) []int {
	var order []int
	for i := range s.found {
		if s.found[i].f >= exactEnough && s.found[i].n <= n {
			order = append(order, i)
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(s.found[a].f, s.found[b].f), cmp.Compare(a, b))
	})
	return order[:min(most, len(order))]
}

// parallel shares tasks 0 to n−1 out over the workers.
func (s *search) parallel(ctx context.Context, n int, task func(work *solver, i int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(s.workers, n) {
		wg.Go(func() {
			work := newSolver(s.p)
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				task(work, i)
			}
		})
	}
	wg.Wait()
}

// again walks a solved mixture on to the last digit and starts its subset from
// others; better reports whether one of them led to another optimum.
func (s *search) again(work *solver, m *found) (starts int, better bool) {
	index := m.subset(&[MostParts]int{})
	polish := func(x [MostParts]float64, wishing bool) {
		if r := work.solve(index, &x, polished, wishing); r.f <= m.f {
			m.take(&r)
		}
	}
	polish(m.x, m.wishing)
	before := m.f
	work.eval.holdAt(&m.x)
	var from [maxStarts][MostParts]float64
	starts = s.p.starts(index, &m.x, &from)
	for i := range starts {
		if r := work.approach(index, &from[i], m.wishing, work.eval.shift[:]); r.f < m.f {
			polish(r.x, r.wishing)
		}
	}
	return starts + 1, math.Sqrt(before)-math.Sqrt(m.f) > 1e-3
}

func (m *found) take(r *outcome) {
	m.f, m.x, m.converged, m.wishing = r.f, r.x, r.converged, r.wishing
}

// widen starts a mixture's subset with powder l added from mixtures of its
// own, and returns what it finds where that is better by over 0.001 ΔE00.
func (s *search) widen(work *solver, m *found, l int) (f found, starts int) {
	var index [MostParts]int
	var from [maxStarts][MostParts]float64
	n := 0
	for i := range m.n {
		if int(m.index[i]) == l {
			return f, 0
		}
		index[i] = int(m.index[i])
		n++
	}
	index[n] = l
	n++
	slices.Sort(index[len(s.must):n])
	starts = s.p.starts(index[:n], nil, &from)
	best := math.Sqrt(m.f) - 1e-3
	for i := range starts {
		r := work.approach(index[:n], &from[i], m.wishing, nil)
		if math.Sqrt(r.f) < best {
			r = work.solve(index[:n], &r.x, polished, r.wishing)
			best = math.Sqrt(r.f)
			f = found{n: n}
			f.take(&r)
			for j := range n {
				f.index[j] = uint16(index[j])
			}
		}
	}
	return f, starts
}
