package blend

import (
	"context"
	"math"
	"slices"
	"sort"
	"sync"
	"sync/atomic"

	"tawny/colour"
)

// restartBest is how many of the best subsets are started again from two other
// mixtures, in case their optimum is not the only one.
const restartBest = 200

// restart solves the best subsets again from an even mixture and from one
// heaped on the powder the first answer uses least, and keeps what is better.
func (s *search) restart(ctx context.Context, best int) error {
	order := make([]int, len(s.found))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return s.found[order[a]].f < s.found[order[b]].f })
	order = order[:min(best, len(order))]
	improved := make([]bool, len(order))
	var next atomic.Int64
	var wg sync.WaitGroup
	for range max(1, s.workers) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			work := newSolver(s.p)
			var index [maxParts]int
			for {
				k := int(next.Add(1)) - 1
				if k >= len(order) || ctx.Err() != nil {
					return
				}
				m := &s.found[order[k]]
				for i := 0; i < m.n; i++ {
					index[i] = int(m.index[i])
				}
				before := m.f
				for _, x := range s.p.starts(index[:m.n], m) {
					r := work.solve(index[:m.n], &x, stopDecrease)
					if r.f < m.f {
						m.f, m.x, m.converged = r.f, r.x, r.converged
					}
				}
				// Once more from the best, to the last digit.
				x := m.x
				if r := work.solve(index[:m.n], &x, 1e-13); r.f <= m.f {
					m.f, m.x, m.converged = r.f, r.x, r.converged
				}
				improved[k] = math.Sqrt(before)-math.Sqrt(m.f) > 1e-3
			}
		}()
	}
	wg.Wait()
	s.counts.Restarted = len(order)
	for _, better := range improved {
		if better {
			s.counts.Improved++
		}
	}
	return ctx.Err()
}

// starts returns two other feasible mixtures of a subset.
func (p *problem) starts(index []int, m *found) [][maxParts]float64 {
	even, ok := p.feasible(index)
	if !ok {
		return nil
	}
	least := 0
	for i := 1; i < m.n; i++ {
		if m.x[i] < m.x[least] {
			least = i
		}
	}
	// A mixture of two feasible ones is feasible.
	heaped := even
	room := p.powders[index[least]].hi - even[least]
	spare := 0.0
	for i := range index {
		if i != least {
			spare += even[i] - p.powders[index[i]].lo
		}
	}
	if move := 0.8 * math.Min(room, spare); move > 0 && math.IsInf(p.costHi, 1) {
		heaped[least] += move
		for i := range index {
			if i != least {
				heaped[i] -= move * (even[i] - p.powders[index[i]].lo) / spare
			}
		}
	}
	return [][maxParts]float64{even, heaped}
}

// ranker orders what the search found.
type ranker struct {
	request *Request
	problem *problem
	use     []*Pigment
	search  *search
}

// candidate is a found mixture with what tells equals apart.
type candidate struct {
	id                  int
	count               int     // powders really in it
	delta               float64 // ΔE00 to the first target, or √f where more than one thing is matched
	shift, cost, amount float64
	name                string
	key                 [maxParts]uint16
}

// presentShare is the share below which a powder counts as absent: a millionth
// of the load cannot be weighed.
const presentShare = 1e-6

// rank orders by these rules: blends nearer the target than Equal count as
// equally good and are told apart by fewer powders, smaller shift between
// lights, lower cost, less powder, then name; the others follow by distance,
// then the same.
func (k *ranker) rank() (blends, front []Blend) {
	r, s := k.request, k.search
	e := newEvaluator(k.problem)
	seen := map[[maxParts]uint16]int{}
	var list []candidate
	for id := range s.found {
		m := &s.found[id]
		if m.f > 0 && len(list) > 5000 && math.Sqrt(m.f) > 50 {
			continue // hopeless, and there are plenty
		}
		c := candidate{id: id, delta: math.Sqrt(m.f)}
		for i := 0; i < m.n; i++ {
			if m.x[i] > presentShare {
				c.key[c.count] = m.index[i] + 1
				c.count++
			}
		}
		slices.Sort(c.key[:c.count])
		if other, ok := seen[c.key]; ok {
			if s.found[list[other].id].f > m.f {
				list[other] = c
			}
			continue
		}
		seen[c.key] = len(list)
		list = append(list, c)
	}
	for i := range list {
		c := &list[i]
		m := &s.found[c.id]
		for j := 0; j < m.n; j++ {
			c.cost += m.x[j] * k.problem.powders[m.index[j]].cost
			c.amount += m.x[j]
		}
		// Only equals are told apart by the shift, so only they pay for it.
		if c.delta <= r.Equal {
			e.chooseFound(m)
			e.film(&m.x, false)
			c.shift = colour.Shift(&e.r[0], r.Light, r.Second)
			c.name = k.name(m)
		}
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].before(&list[b], r.Equal) })
	for i := range list {
		if len(blends) < r.Keep {
			blends = append(blends, k.blend(&list[i]))
		}
	}
	best := map[int]*candidate{}
	for i := range list {
		c := &list[i]
		if b, ok := best[c.count]; !ok || c.delta > r.Equal && c.delta < b.delta {
			best[c.count] = c
		}
	}
	for n := 1; n <= r.Most; n++ {
		if c, ok := best[n]; ok {
			front = append(front, k.blend(c))
		}
	}
	return blends, front
}

func (c *candidate) before(d *candidate, equal float64) bool {
	if in, other := c.delta <= equal, d.delta <= equal; in != other {
		return in
	} else if !in {
		return c.delta < d.delta
	}
	switch {
	case c.count != d.count:
		return c.count < d.count
	case differ(c.shift, d.shift):
		return c.shift < d.shift
	case differ(c.cost, d.cost):
		return c.cost < d.cost
	case differ(c.amount, d.amount):
		return c.amount < d.amount
	}
	return c.name < d.name
}

// differ tells numbers apart that are more than rounding from each other.
func differ(a, b float64) bool { return math.Abs(a-b) > 1e-9*(1+math.Abs(a)) }

func (k *ranker) name(m *found) string {
	names := make([]string, 0, maxParts)
	for i := 0; i < m.n; i++ {
		if m.x[i] > presentShare {
			names = append(names, k.use[m.index[i]].Name)
		}
	}
	slices.Sort(names)
	s := ""
	for _, n := range names {
		s += n + "\x00"
	}
	return s
}

func (e *evaluator) chooseFound(m *found) {
	e.n = m.n
	for i := 0; i < m.n; i++ {
		e.use[i] = &e.p.powders[m.index[i]]
	}
}

// blend fills in a candidate, its shares brought to the exact load.
func (k *ranker) blend(c *candidate) Blend {
	r, p := k.request, k.problem
	m := k.search.found[c.id]
	for i := 0; i < m.n; i++ {
		if m.x[i] <= presentShare && k.problem.powders[m.index[i]].lo == 0 {
			m.x[i] = 0
		}
	}
	if p.sumLo == p.sumHi {
		p.exactLoad(&m)
	}
	e := newEvaluator(p)
	e.chooseFound(&m)
	e.all(&m.x)
	b := Blend{Reflectance: e.r[0], Objective: e.f, Residual: e.residual(&m)}
	total := 0.0
	for i := 0; i < m.n; i++ {
		total += m.x[i]
	}
	for i := 0; i < m.n; i++ {
		if m.x[i] == 0 {
			continue
		}
		percent := m.x[i] * r.LoadHi
		b.Parts = append(b.Parts, Part{
			Pigment:   k.use[m.index[i]],
			Percent:   percent,
			Share:     100 * m.x[i] / total,
			ArealMass: r.Apply * percent / 100,
		})
		b.LoadPercent += percent
		b.CostPer100 += percent * k.use[m.index[i]].PricePerG
	}
	sort.SliceStable(b.Parts, func(i, j int) bool { return b.Parts[i].Percent > b.Parts[j].Percent })
	b.Lab = r.Light.Lab(&b.Reflectance)
	b.SecondLab = r.Second.Lab(&b.Reflectance)
	b.Shift = colour.DeltaE00(b.Lab, b.SecondLab)
	b.DeltaE00 = colour.DeltaE00(b.Lab, r.Targets[0].Lab)
	return b
}

// exactLoad gives what rounding has left of the load to the largest share.
func (p *problem) exactLoad(m *found) {
	sum, largest := 0.0, 0
	for i := 0; i < m.n; i++ {
		sum += m.x[i]
		if m.x[i] > m.x[largest] {
			largest = i
		}
	}
	m.x[largest] += p.sumHi - sum
}

// residual returns the largest failure of the KKT conditions at m over its own
// powders: with the best multipliers of load and cost, the gradient of a share
// inside its bounds must be 0, at its lower bound not negative, at its upper
// bound not positive.
func (e *evaluator) residual(m *found) float64 {
	q := &quad{n: e.n}
	s := &solver{eval: e, step: *q}
	s.step.n = e.n
	s.bounds(&m.x)
	s.step.g = e.g
	// A unit Hessian makes the step the projected gradient: zero at a KKT
	// point, and as long as the failure is large.
	for i := 0; i < e.n; i++ {
		s.step.h[i][i] = 1
	}
	s.step.solve()
	worst := 0.0
	for i := 0; i < e.n; i++ {
		worst = math.Max(worst, math.Abs(s.step.d[i]))
	}
	return worst
}
