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
// are passed over. Before that the settleBest, and settleEach of each number of
// powders, are settled to the end: of those told apart by their shade alone the ones that
// are wanted.
const (
	restartBest = 200
	widenBest   = 10
	settleBest  = 400
	settleEach  = 20
)

// quickOff is how much farther, in ΔE00, a walk on the quick film may end and yet
// be nearer on the film itself.
const quickOff = 0.1

// sameEnd is the share by which rough walks to one optimum may end apart.
const sameEnd = 0.02

// apart is the largest difference of two mixtures' shares.
func apart(x, y *[MostParts]float64) (most float64) {
	for i := range x {
		most = math.Max(most, math.Abs(x[i]-y[i]))
	}
	return most
}

// settle walks the best found, and the best of each number of powders, to their
// optima on the film itself.
func (s *search) settle(ctx context.Context) {
	var best []int
	var of [MostParts + 1]int
	bar := s.bar()
	for i, id := range s.order(func(*found) bool { return true }) {
		m := &s.found[id]
		if of[m.n]++; i < settleBest && m.f <= bar || of[m.n] <= s.each {
			best = append(best, id)
		}
	}
	s.parallel(ctx, len(best), func(work *solver, i int) {
		m := &s.found[best[i]]
		r := work.solve(m.subset(&[MostParts]int{}), &m.x, settled, m.wishing)
		m.take(&r)
	})
}

// restart solves the best subsets again and keeps what is better.
func (s *search) restart(ctx context.Context) error {
	again := s.bestInexact(restartBest, s.most)
	worth := math.Sqrt(s.bar())
	starts := make([]int, len(again))
	better := make([]bool, len(again))
	s.parallel(ctx, len(again), func(work *solver, i int) {
		starts[i], better[i] = s.again(work, &s.found[again[i]], worth)
	})
	wide := s.wider()
	wideStarts := make([]int, len(wide))
	s.parallel(ctx, len(wide), func(work *solver, i int) {
		wideStarts[i], wide[i].extra = s.again(work, &wide[i], math.Sqrt(wide[i].f)-restartGain)
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
	for i := range wide {
		s.counts.Starts += wideStarts[i]
		if wideStarts[i] > 0 {
			s.counts.Restarted++
		}
		if wide[i].extra {
			s.counts.Improved++
			s.found = append(s.found, wide[i])
		}
	}
	return nil
}

// exact reports whether an exact answer has been found.
func (s *search) exact() bool {
	for i := range s.found {
		if m := &s.found[i]; m.settled && m.f < exactEnough {
			return true
		}
	}
	return false
}

// bestInexact returns the best mixtures of at most n powders that are not exact, best
// first.
func (s *search) bestInexact(most, n int) []int {
	order := s.order(func(m *found) bool { return m.f >= exactEnough && m.n <= n })
	return order[:min(most, len(order))]
}

// order lists some of the mixtures found, best first.
func (s *search) order(some func(*found) bool) (order []int) {
	for i := range s.found {
		if some(&s.found[i]) {
			order = append(order, i)
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(cmp.Compare(s.found[a].f, s.found[b].f), cmp.Compare(a, b))
	})
	return order
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

// restartGain is what another start must gain to count, ΔE00.
const restartGain = 1e-3

// again walks a solved mixture that is under a √f on to the last digit and starts its
// subset from others, to come under it; better reports whether one of them led to
// another optimum.
func (s *search) again(work *solver, m *found, under float64) (starts int, better bool) {
	index := m.subset(&[MostParts]int{})
	polish := func(x [MostParts]float64, wishing bool) {
		if r := work.solve(index, &x, polished, wishing); r.f <= m.f {
			m.take(&r)
		}
	}
	if math.Sqrt(m.f) <= under {
		polish(m.x, m.wishing)
		starts++
	}
	before := m.f
	defer work.worth(math.Inf(1))
	var from [maxStarts][MostParts]float64
	n := s.p.starts(index, &m.x, &from)
	for i := range n {
		worth := min(under, math.Sqrt(m.f))
		work.worth(worth + quickOff)
		if r := work.approach(index, &from[i], roughly, m.wishing); r.f < work.bar && apart(&r.x, &m.x) > sameEnd {
			work.worth(worth)
			polish(r.x, r.wishing)
		}
	}
	return starts + n, math.Sqrt(before)-math.Sqrt(m.f) > restartGain
}

// worth sets the bar of a solver to a √f.
func (w *solver) worth(root float64) { w.bar = root * root }

func (m *found) take(r *outcome) {
	m.f, m.x, m.wishing, m.settled = r.f, r.x, r.wishing, true
}

// wider lists the subsets of one powder more than the best that have no answer but
// theirs.
func (s *search) wider() (list []found) {
	if s.exact() {
		return nil
	}
	type powders struct {
		n     int
		index [MostParts]uint16
	}
	known := map[powders]bool{}
	for i := range s.found {
		if m := &s.found[i]; m.settled {
			known[powders{m.n, m.index}] = true
		}
	}
	for _, id := range s.bestInexact(widenBest, s.most-1) {
		for _, l := range s.choice {
			of := &s.found[id]
			if slices.Contains(of.index[:of.n], uint16(l)) {
				continue
			}
			m := found{f: of.f, n: of.n + 1, index: of.index, wishing: of.wishing}
			m.index[of.n] = uint16(l)
			slices.Sort(m.index[len(s.must):m.n])
			if own := (powders{m.n, m.index}); !known[own] {
				known[own] = true
				list = append(list, m)
			}
		}
	}
	return list
}
