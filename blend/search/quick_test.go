package search

import (
	"math"
	"testing"

	"tawny/colour"
)

// Under a surface that tilts with its flakes the search walks on a flat one: its
// winner is within ΔE00 0.02 of that of a search on the tilting one throughout, in
// every geometry, whether a gleam is asked for or not.
func TestTiltingSurfaceIsSearchedFlat(t *testing.T) {
	worst, moved := 0.0, 0
	for seed := range uint64(seeded(50)) {
		r := shimmerCase(t, 700+seed, 6+12*int(seed%25/24)) // one in 25 of 18
		r.Most, r.Tilt, r.SurfaceShare = 2+int(seed%25/24), 6+6*float64(seed%2), 0.3+0.4*float64(seed/2%2)
		r.Geometry = colour.Geometries[seed%uint64(len(colour.Geometries))]
		r.Ground.Geometry = r.Geometry
		if seed%2 == 0 {
			r.Shimmer = nil
		}
		best := func(flat bool) float64 {
			r, p, _, s := problemOf(t, r)
			if !flat {
				p.quick = p.film
				p.hold()
			}
			if err := s.run(t.Context(), nil); err != nil {
				t.Fatal(err)
			}
			s.settle(t.Context())
			if err := s.restart(t.Context()); err != nil {
				t.Fatal(err)
			}
			return r.Distance((&ranker{search: s}).best().f)
		}
		got, want := best(true), best(false)
		worst = math.Max(worst, math.Abs(got-want))
		if math.Abs(got-want) > 0.02 {
			t.Errorf("seed %d: ΔE00 %.4f searched flat, %.4f tilted", seed, got, want)
		}
		if r.SurfaceShare = 0; seed%5 == 1 && math.Abs(best(true)-want) > 0.02 {
			moved++
		}
	}
	t.Logf("worst difference %.5f; the tilt mattered in %d of a fifth", worst, moved)
	if moved < 3 && !testing.Short() {
		t.Errorf("the surface's tilt mattered in %d cases only: nothing was tested", moved)
	}
}
