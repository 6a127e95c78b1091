package search

import (
	"math"
	"testing"

	"tawny/colour"
)

// Under a surface that tilts with its flakes the search walks on a flat one: its
// winner is within ΔE00 0.02 of that of a search on the tilting one throughout, in
// every geometry, whether a gleam is asked for or not. So few powders have fewer
// subsets than are settled on the film itself; what could lose a winner among more is
// how far down the flat film ranks it, and that is a tenth of what is settled at most.
func TestTiltingSurfaceIsSearchedFlat(t *testing.T) {
	// settledOn searches on the flat film or on the film itself, and tells how far down
	// the winner was before it was settled.
	settledOn := func(r Request, flat bool) (s *search, rank int) {
		_, p, _, s := problemOf(t, r)
		if !flat {
			p.quick = p.film
			p.hold()
		}
		if err := s.run(t.Context(), nil); err != nil {
			t.Fatal(err)
		}
		order := s.order(func(*found) bool { return true })
		s.settle(t.Context())
		least := math.Inf(1)
		for i, id := range order {
			if f := s.found[id].f; f < least-1e-9 {
				least, rank = f, i
			}
		}
		return s, rank
	}
	worst, moved, behind, last := 0.0, 0, 0, 0
	for seed := range uint64(seeded(40)) {
		r := shimmerCase(t, 700+seed, 9)
		r.Most, r.Tilt, r.SurfaceShare = 3, 6+6*float64(seed%2), 0.3+0.4*float64(seed/2%2)
		r.Geometry = colour.Geometries[seed%uint64(len(colour.Geometries))]
		r.Ground.Geometry = r.Geometry
		if seed%2 == 0 {
			r.Shimmer = nil
		}
		s, rank := settledOn(r, true)
		last = max(last, rank)
		if rank > 0 {
			behind++
		}
		if rank > settleBest/10 {
			t.Errorf("seed %d: the flat film ranks the winner as %d", seed, rank+1)
		}
		if seed%5 != 1 {
			continue
		}
		best := func(s *search) float64 {
			if err := s.restart(t.Context()); err != nil {
				t.Fatal(err)
			}
			return r.Distance((&ranker{search: s}).best().f)
		}
		got := best(s)
		s, _ = settledOn(r, false)
		want := best(s)
		worst = math.Max(worst, math.Abs(got-want))
		if math.Abs(got-want) > 0.02 {
			t.Errorf("seed %d: ΔE00 %.4f searched flat, %.4f tilted", seed, got, want)
		}
		r.SurfaceShare = 0
		s, _ = settledOn(r, true)
		if math.Abs(best(s)-want) > 0.02 {
			moved++
		}
	}
	t.Logf("worst difference %.5f; the flat film ranks another first in %d, the winner as %d at worst; the tilt mattered in %d of a fifth", worst, behind, last+1, moved)
	if (moved < 3 || behind < 3) && !testing.Short() {
		t.Errorf("the surface's tilt mattered in %d cases only, and to the order in %d: nothing was tested", moved, behind)
	}
}
