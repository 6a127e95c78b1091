package blend

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The search against a slow reference that shares none of its shortcuts: every
// subset of up to 4 of 12 powders is solved on its own from six random
// mixtures, nothing inherited. The winner must agree to 0.01 ΔE00.
func TestMatchAgreesWithMultiStart(t *testing.T) {
	p := drawer(t)
	cases := 12
	if testing.Short() {
		cases = 3
	}
	for seed := 0; seed < cases; seed++ {
		rng := rand.New(rand.NewPCG(uint64(seed), 9))
		f := forwardCase(t, p, uint64(1000+seed))
		r := f.nudged(rng, float64(seed%4)*2)
		r.Powders = nil
		for _, k := range rng.Perm(len(p.Pigments))[:12] {
			r.Powders = append(r.Powders, p.Pigments[k])
		}
		r.Most = 4
		if seed%3 == 2 {
			r.LoadLo = 0
		}
		r.Equal = 1e-6 // nearest first, no ties
		res := mustMatch(t, r)
		want := referenceBest(t, r, rng, 6)
		got := math.Inf(1)
		for _, b := range res.Blends {
			got = math.Min(got, math.Sqrt(b.Objective))
		}
		if got > want+0.01 {
			t.Errorf("seed %d: search found ΔE00 %.4f, multi-start %.4f", seed, got, want)
		}
		if want > got+0.01 {
			t.Errorf("seed %d: multi-start found only %.4f where search found %.4f", seed, want, got)
		}
	}
}

func referenceBest(t *testing.T, r Request, rng *rand.Rand, starts int) float64 {
	t.Helper()
	r, err := r.defaulted()
	if err != nil {
		t.Fatal(err)
	}
	use, must, err := r.selectPowders()
	if err != nil {
		t.Fatal(err)
	}
	p, err := r.problem(use, must)
	if err != nil {
		t.Fatal(err)
	}
	s := newSolver(p)
	best := math.Inf(1)
	for k := 1; k <= r.Most; k++ {
		c := make([]int, k)
		for rank := 0; rank < binomial(len(use), k); rank++ {
			unrank(rank, k, c)
			for range starts {
				var x [maxParts]float64
				sum := 0.0
				for i := range c {
					x[i] = rng.ExpFloat64()
					sum += x[i]
				}
				load := p.sumLo + (p.sumHi-p.sumLo)*rng.Float64()
				for i := range c {
					x[i] *= load / sum
				}
				best = math.Min(best, s.solve(c, &x, 1e-12).f)
			}
		}
	}
	return math.Sqrt(best)
}

// The solver itself against brute force: no point of a fine grid over the
// mixtures of a subset may be better than what it finds.
func TestSolveBeatsGrid(t *testing.T) {
	p := drawer(t)
	for seed := uint64(0); seed < 12; seed++ {
		rng := rand.New(rand.NewPCG(seed, 10))
		r, err := forwardCase(t, p, seed).nudged(rng, 3).defaulted()
		if err != nil {
			t.Fatal(err)
		}
		use, must, _ := r.selectPowders()
		pr, err := r.problem(use, must)
		if err != nil {
			t.Fatal(err)
		}
		s := newSolver(pr)
		index := rng.Perm(len(use))[:3]
		x, _ := pr.feasible(index)
		found := s.solve(index, &x, 1e-12).f
		e := newEvaluator(pr)
		e.choose(index)
		const n = 60
		for i := 0; i <= n; i++ {
			for j := 0; i+j <= n; j++ {
				y := [maxParts]float64{float64(i) / n, float64(j) / n, float64(n-i-j) / n}
				if f := e.value(&y); math.Sqrt(f) < math.Sqrt(found)-0.01 {
					t.Fatalf("seed %d: grid point %v has ΔE00 %.4f, solver %.4f", seed, y[:3], math.Sqrt(f), math.Sqrt(found))
				}
			}
		}
	}
}
