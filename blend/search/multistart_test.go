package search

import (
	"flag"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

var seedsEach = flag.Int("search-seeds", 4, "seeded cases of each kind for the multi-start reference")

var fullReference = flag.Int("full-reference", 0, "multi-start every subset of the whole drawer for so many seeded cases of each kind (a minute each)")

// The search against a slow reference that shares none of its shortcuts: every
// subset of up to 4 of 12 powders is solved on its own from random mixtures, nothing
// inherited. The winner must agree to 0.01 ΔE00 for every
// kind of job.
func TestMatchAgreesWithMultiStart(t *testing.T) {
	p := drawer(t)
	seeds := seeded(*seedsEach)
	for kind := range kinds {
		t.Run(kindName[kind], func(t *testing.T) {
			t.Parallel()
			for seed := range seeds {
				agree(t, stressCase(t, p, kind, uint64(seed), 12), seed, 2)
			}
		})
	}
}

// The same over the whole drawer, 102,090 subsets.
func TestMatchAgreesWithFullReference(t *testing.T) {
	if *fullReference == 0 {
		t.Skip("a minute: go test ./blend/search -run FullReference -full-reference 1 -timeout 2h -v")
	}
	p := drawer(t)
	for kind := range kinds {
		t.Run(kindName[kind], func(t *testing.T) {
			t.Parallel()
			for seed := range *fullReference {
				agree(t, stressCase(t, p, kind, uint64(3+seed), 0), 3+seed, 3)
			}
		})
	}
}

func agree(t *testing.T, r Request, seed, starts int) {
	t.Helper()
	r.Workers = 1
	ref, err := r.WithDefaults()
	if err != nil {
		t.Fatal(err)
	}
	want := multiStart(t, ref, rules{}, starts, uint64(seed))
	res, err := Match(t.Context(), r)
	if err == errBare {
		// Nothing at all is an answer the reference may have too.
		if f := bareObjective(t, r); want < f-0.01 {
			t.Errorf("seed %d: the search found bare skin best, √f %.5f, multi-start %.5f", seed, f, want)
		}
		return
	}
	if err != nil {
		t.Fatal(err)
	}
	got := math.Sqrt(res.Blends[0].Objective)
	if math.Abs(got-want) > 0.01 {
		t.Errorf("seed %d: the search found √f %.5f, multi-start %.5f", seed, got, want)
	}
	subsets := 0
	for k := 1; k <= r.Most; k++ {
		subsets += binomial(len(r.Powders), k)
	}
	if n := res.Counts; n.Subsets != subsets || n.Solved+n.Inherited+n.Infeasible != n.Subsets {
		t.Errorf("seed %d: %d subsets, counts %+v", seed, subsets, n)
	}
	t.Logf("seed %d: √f %.4f of %d subsets, multi-start the same to %.1g", seed, got, subsets, math.Abs(got-want))
}

// bareObjective returns √f with no powder at all.
func bareObjective(t *testing.T, r Request) float64 {
	t.Helper()
	_, p, _, _ := problemOf(t, r)
	e := newEvaluator(p)
	e.choose([]int{0})
	return math.Sqrt(e.value(&[MostParts]float64{}))
}

// multiStart returns the least √f over all subsets by walks from random mixtures. A
// subset's own are in larger ones too where no powder has a least amount.
func multiStart(t *testing.T, r Request, q rules, starts int, seed uint64) float64 {
	t.Helper()
	k, err := r.pose(q)
	if err != nil {
		t.Fatal(err)
	}
	p := k.problem
	work := newSolver(p)
	rng := rand.New(rand.NewPCG(seed, 5))
	n, best := len(p.powders), outcome{f: math.Inf(1)}
	var of []int
	fewest := min(r.Most, n)
	if slices.ContainsFunc(p.powders, func(u powder) bool { return u.lo > 0 }) {
		fewest = 1
	}
	for k := fewest; k <= min(r.Most, n); k++ {
		c := make([]int, k)
		for rank := range binomial(n, k) {
			unrank(rank, k, c)
			for range starts {
				if x, ok := randomMixture(rng, p, c); ok {
					if o := work.solve(c, &x, stop{decrease: 1e-6, share: 3e-4}, false); o.f < best.f {
						best, of = o, slices.Clone(c)
					}
				}
			}
		}
	}
	return math.Sqrt(work.solve(of, &best.x, polished, false).f)
}

func maskOf(m *found) (mask uint64) {
	for i := range m.n {
		mask |= 1 << m.index[i]
	}
	return mask
}

// randomMixture spreads a random load over a subset within its bounds, or reports
// that it found none.
func randomMixture(rng *rand.Rand, p *problem, index []int) (x [MostParts]float64, ok bool) {
	for range 100 {
		sum, least := 0.0, 0.0
		for i, k := range index {
			x[i] = rng.ExpFloat64()
			sum += x[i]
			least += p.powders[k].lo
		}
		load := p.sumLo + (p.sumHi-p.sumLo)*rng.Float64()
		if load < least {
			continue
		}
		ok = true
		for i, k := range index {
			u := &p.powders[k]
			x[i] = u.lo + x[i]*(load-least)/sum
			ok = ok && x[i] <= u.hi
		}
		if ok && p.limitOf(index, &x) <= p.limitHi {
			return x, true
		}
	}
	x, ok = p.feasible(index)
	return x, ok
}

// The solver itself against brute force: no point of a fine grid over the
// mixtures of a subset may be better than what it finds.
func TestSolveBeatsGrid(t *testing.T) {
	p := drawer(t)
	for seed := range uint64(12) {
		rng := rand.New(rand.NewPCG(seed, 10))
		_, pr, use, _ := problemOf(t, forwardCase(t, p, seed).nudged(rng, 3))
		s := newSolver(pr)
		index := rng.Perm(len(use))[:3]
		x, _ := pr.feasible(index)
		found := s.solve(index, &x, stop{decrease: 1e-12}, false).f
		e := newEvaluator(pr)
		e.choose(index)
		const n = 60
		for i := range n + 1 {
			for j := 0; i+j <= n; j++ {
				y := [MostParts]float64{float64(i) / n, float64(j) / n, float64(n-i-j) / n}
				if f := e.value(&y); math.Sqrt(f) < math.Sqrt(found)-0.01 {
					t.Fatalf("seed %d: grid point %v has ΔE00 %.4f, solver %.4f", seed, y[:3], math.Sqrt(f), math.Sqrt(found))
				}
			}
		}
	}
}
