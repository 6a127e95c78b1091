package blend

import (
	"flag"
	"math"
	"math/rand/v2"
	"sync"
	"testing"
)

var seedsEach = flag.Int("search-seeds", 6, "seeded cases of each kind for the multi-start reference")

var fullReference = flag.Bool("full-reference", false, "multi-start every subset of the whole drawer (minutes)")

// The search against a slow reference that shares none of its shortcuts: every
// subset of up to 4 of 12 powders is solved on its own from four random
// mixtures, nothing inherited. The winner must agree to 0.01 ΔE00 for every
// kind of job.
func TestMatchAgreesWithMultiStart(t *testing.T) {
	p := drawer(t)
	seeds := *seedsEach
	if testing.Short() {
		seeds = 1
	}
	var jobs []func()
	for kind := range kinds {
		for seed := range seeds {
			jobs = append(jobs, func() { agree(t, stressCase(t, p, kind, uint64(seed), 12), kindName[kind], seed, 4) })
		}
	}
	both(jobs)
}

// The same over the whole drawer, 102,090 subsets.
func TestMatchAgreesWithFullReference(t *testing.T) {
	if !*fullReference {
		t.Skip("a minute or two a kind: go test ./blend -run FullReference -full-reference -timeout 2h -v")
	}
	p := drawer(t)
	var jobs []func()
	for kind := range kinds {
		jobs = append(jobs, func() { agree(t, stressCase(t, p, kind, 3, 0), kindName[kind], 3, 3) })
	}
	both(jobs)
}

// both runs jobs on two processors.
func both(jobs []func()) {
	next := make(chan func())
	var wg sync.WaitGroup
	for range 2 {
		wg.Go(func() {
			for job := range next {
				job()
			}
		})
	}
	for _, j := range jobs {
		next <- j
	}
	close(next)
	wg.Wait()
}

func agree(t *testing.T, r Request, kind string, seed, starts int) {
	t.Helper()
	r.Workers = 1
	res := mustMatch(t, r)
	got := math.Sqrt(res.Blends[0].Objective)
	want, subsets, apart := reference(t, r, starts, uint64(seed))
	if math.Abs(got-want) > 0.01 {
		t.Errorf("%s, seed %d: the search found √f %.5f, multi-start %.5f", kind, seed, got, want)
	}
	if n := res.Counts; n.Subsets != subsets || n.Solved+n.Inherited+n.Infeasible != n.Subsets {
		t.Errorf("%s, seed %d: %d subsets, counts %+v", kind, seed, subsets, n)
	}
	t.Logf("%s, seed %d: √f %.4f of %d subsets, multi-start the same to %.1g; %d subsets with another optimum over 0.01 better than the search's", kind, seed, got, subsets, math.Abs(got-want), apart)
}

// reference returns the least √f over all subsets by multi-start, and how many
// subsets it solved better than the search by over 0.01.
func reference(t *testing.T, r Request, starts int, seed uint64) (best float64, subsets, apart int) {
	t.Helper()
	r, p, use, s := problemOf(t, r)
	if err := s.run(t.Context(), nil); err != nil {
		t.Fatal(err)
	}
	// What the search has for a subset: the best found within it.
	val := map[uint64]float64{}
	for i := range s.found {
		val[maskOf(&s.found[i])] = s.found[i].f
	}
	work := newSolver(p)
	rng := rand.New(rand.NewPCG(seed, 5))
	best = math.Inf(1)
	for k := 1; k <= r.Most; k++ {
		c := make([]int, k)
		for rank := range binomial(len(use), k) {
			unrank(rank, k, c)
			f := math.Inf(1)
			for range starts {
				x := randomMixture(rng, p, k)
				f = math.Min(f, work.solve(c, &x, 1e-12).f)
			}
			subsets++
			best = math.Min(best, f)
			mask, mine := uint64(0), math.Inf(1)
			for _, i := range c {
				mask |= 1 << i
			}
			for sub := mask; sub > 0; sub = (sub - 1) & mask {
				if v, ok := val[sub]; ok {
					mine = math.Min(mine, v)
				}
			}
			if math.Sqrt(mine)-math.Sqrt(f) > 0.01 {
				apart++
			}
		}
	}
	return math.Sqrt(best), subsets, apart
}

func maskOf(m *found) (mask uint64) {
	for i := range m.n {
		mask |= 1 << m.index[i]
	}
	return mask
}

// randomMixture spreads a random load within its bounds over k powders.
func randomMixture(rng *rand.Rand, p *problem, k int) (x [maxParts]float64) {
	sum := 0.0
	for i := range k {
		x[i] = rng.ExpFloat64()
		sum += x[i]
	}
	load := p.sumLo + (p.sumHi-p.sumLo)*rng.Float64()
	for i := range k {
		x[i] *= load / sum
	}
	return x
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
		found := s.solve(index, &x, 1e-12).f
		e := newEvaluator(pr)
		e.choose(index)
		const n = 60
		for i := range n + 1 {
			for j := 0; i+j <= n; j++ {
				y := [maxParts]float64{float64(i) / n, float64(j) / n, float64(n-i-j) / n}
				if f := e.value(&y); math.Sqrt(f) < math.Sqrt(found)-0.01 {
					t.Fatalf("seed %d: grid point %v has ΔE00 %.4f, solver %.4f", seed, y[:3], math.Sqrt(f), math.Sqrt(found))
				}
			}
		}
	}
}
