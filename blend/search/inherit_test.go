package search

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The claim the search rests on, put to the test for every subset there is:
// the best mixture found among its own and its facets' powders meets the
// first-order conditions of the whole subset, powders it does not use included,
// under limits on powders, powders that must be used and a ceiling on cost. Most that
// are solved for themselves use all their powders.
func TestEverySubsetIsSettled(t *testing.T) {
	p := drawer(t)
	subsets, inherited, solved, unused, worst := 0, 0, 0, 0, 0.0
	for seed := range uint64(4 * kinds) {
		rng := rand.New(rand.NewPCG(seed, 101))
		r := stressCase(t, p, int(seed)%kinds, 60+seed, 9)
		name := func(i int) string { return r.Powders[i].Name }
		if rng.IntN(2) == 0 {
			r.Choice.Must = []string{name(0)}
		}
		if rng.IntN(2) == 0 {
			r.Choice.Limits = map[string]Limit{
				name(1): {AtMost: r.LoadHi * rng.Float64()},
				name(2): {AtMost: r.LoadHi * rng.Float64()},
				name(3): {AtLeast: r.LoadHi * 0.3 * rng.Float64()},
			}
		}
		if rng.IntN(2) == 0 {
			r.Choice.CostPer100 = r.LoadHi * (0.07 + 0.07*rng.Float64())
		}
		r.every = true // those that are not wanted are settled too
		r, pr, use, s := problemOf(t, r)
		if err := s.run(t.Context(), nil); err != nil {
			t.Fatal(err)
		}
		s.settle(t.Context())
		inherited += s.counts.Inherited
		if n := s.counts; n.Solved+n.Inherited+n.Infeasible != n.Subsets {
			t.Errorf("seed %d: counts do not add up: %+v", seed, n)
		}
		for i := range s.found {
			solved++
			if m := &s.found[i]; present(pr, m).n < m.n {
				unused++
			}
		}
		e := newEvaluator(pr)
		must := uint64(0)
		for _, i := range s.must {
			must |= 1 << i
		}
		for full := range uint64(1) << len(use) {
			var index []int
			for i := range use {
				if full>>i&1 == 1 {
					index = append(index, i)
				}
			}
			if full&must != must || len(index) == 0 || len(index) > r.Most {
				continue
			}
			var best *found
			for i := range s.found {
				if m := &s.found[i]; maskOf(m)&^full == 0 && (best == nil || m.f < best.f) {
					best = m
				}
			}
			if best == nil {
				if x, ok := pr.feasible(index); ok {
					t.Errorf("seed %d: subset %v has a mixture %v but no answer", seed, index, x[:len(index)])
				}
				continue
			}
			subsets++
			m := found{n: len(index), x: spread(best, index)}
			for i, k := range index {
				m.index[i] = uint16(k)
			}
			e.choose(index)
			e.all(&m.x)
			// The longest step a unit Hessian would take, against the size of f:
			// real curvatures are 10² to 10⁵, so what is left is nothing in ΔE00.
			// A match that is exact to ΔE00 0.0003 has less than that to gain.
			if e.f < 1e-7 {
				continue
			}
			left := e.residual(&m) / math.Sqrt(1+e.f)
			worst = math.Max(worst, left)
			if left > 0.005 {
				t.Errorf("seed %d (%s): subset %v, √f %.4f: residual %.3g", seed, kindName[int(seed)%kinds], index, math.Sqrt(e.f), left*math.Sqrt(1+e.f))
			}
		}
	}
	t.Logf("%d subsets, %d of them inherited; worst residual %.2g of √(1+f)", subsets, inherited, worst)
	if unused > solved/2 {
		t.Errorf("of %d solved %d have a powder at nothing: they are inherited", solved, unused)
	}
}
