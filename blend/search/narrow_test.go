package search

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"
)

var largeReference = flag.Int("large-reference", 1, "seeded cases of the large drawer held to a search of all of it (ten seconds each)")

// The best blend of three of 300 powders, searched in part, is within ΔE00 0.02 of
// the best of all 4,455,100, and the counts say what was left out.
func TestLargeDrawer(t *testing.T) {
	powders := drawerOf(t, 300)
	for seed := range uint64(seeded(*largeReference)) {
		r := forwardCase(t, drawer(t), 61+seed).nudged(rand.New(rand.NewPCG(1+seed, 3)), float64((1+seed)%3)*2)
		r.Powders, r.Most = powders, 3
		if seed%2 == 0 {
			r.LoadLo = 0
		}
		best := func(l limits) (float64, Counts) {
			_, _, _, s := problemOf(t, r)
			s.limits = l
			if err := s.run(t.Context(), nil); err != nil {
				t.Fatal(err)
			}
			s.settle(t.Context())
			return math.Sqrt((&ranker{search: s}).best().f), s.counts
		}
		got, in := best(ofDrawer)
		if in.Powders != 300 || in.Searched >= 300 || in.Subsets > ofDrawer.pairs+ofDrawer.larger+300 {
			t.Errorf("seed %d: %+v of a drawer of 300", seed, in)
		}
		want, whole := best(limits{math.MaxInt, math.MaxInt})
		if whole.Searched != 300 || whole.Subsets != binomial(300, 1)+binomial(300, 2)+binomial(300, 3) {
			t.Errorf("seed %d: the whole search counts %+v", seed, whole)
		}
		if got > want+0.02 {
			t.Errorf("seed %d: √f %.4f, of all powders %.4f", seed, got, want)
		}
		t.Logf("seed %d: %d of 300 powders, √f %.4f; of all %.4f", seed, in.Searched, got, want)
	}
}
