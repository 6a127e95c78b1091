package search

import (
	"math"
	"math/rand/v2"
	"testing"

	"tawny/blend/film"
	"tawny/colour"
)

// Four powders of free load that match a colour exactly do so along a line of
// mixtures. The one returned has the least shift between lights of all of
// them: none found by solving from a thousand random mixtures shifts less.
func TestFamilyLeastShift(t *testing.T) {
	p := drawer(t)
	families := 0
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 31))
		f := forwardCase(t, p, 300+seed)
		// The target from four powders, at two thirds of the load allowed.
		var parts []film.Part
		var must []string
		r := f.request
		r.Powders = nil
		for _, i := range rng.Perm(len(p.Pigments))[:4] {
			parts = append(parts, film.Part{Pigment: p.Pigments[i], Percent: r.LoadHi * (0.1 + 0.1*rng.Float64())})
			r.Powders = append(r.Powders, p.Pigments[i])
			must = append(must, p.Pigments[i].Name)
		}
		look, err := film.Predict(film.Worn{Ground: r.Ground, Parts: parts, Apply: r.Apply})
		if err != nil {
			t.Fatal(err)
		}
		r.Targets, r.LoadLo, r.Most, r.Choice.Must = []Goal{{Lab: look.Lab}}, 0, 4, must
		b := mustMatch(t, r).Blends[0]
		if b.DeltaE00 > 1e-3 || len(b.Parts) != 4 {
			t.Errorf("seed %d: ΔE00 %.4g with %d powders", seed, b.DeltaE00, len(b.Parts))
			continue
		}
		r, pr, _, _ := problemOf(t, r)
		s := newSolver(pr)
		best, spread := math.Inf(1), 0.0
		for range 300 {
			x, ok := memberStart(rng, pr)
			if !ok {
				continue
			}
			if o := s.solve([]int{0, 1, 2, 3}, &x, stop{decrease: 1e-14}, false); o.f < 1e-8 {
				s.eval.film(&o.x, false)
				shift := colour.Shift(&s.eval.r[0], r.Light, r.Second)
				best, spread = math.Min(best, shift), math.Max(spread, shift)
			}
		}
		if spread-best > 1e-3 {
			families++
		}
		if b.Shift > best+1e-4 {
			t.Errorf("seed %d: shifts by %.5f between lights, a random member by %.5f (up to %.5f)", seed, b.Shift, best, spread)
		}
	}
	t.Logf("%d of 40 families differ in shift by over 0.001", families)
	if families < 20 {
		t.Errorf("only %d families to tell apart", families)
	}
}

// Where no member shifts at all, under one light twice, the least powder wins.
func TestFamilyLeastPowder(t *testing.T) {
	p := drawer(t)
	rng := rand.New(rand.NewPCG(5, 32))
	f := forwardCase(t, p, 305)
	r := f.request
	r.Powders = nil
	var parts []film.Part
	for _, i := range rng.Perm(len(p.Pigments))[:4] {
		parts = append(parts, film.Part{Pigment: p.Pigments[i], Percent: r.LoadHi * 0.15})
		r.Powders = append(r.Powders, p.Pigments[i])
		r.Choice.Must = append(r.Choice.Must, p.Pigments[i].Name)
	}
	look, err := film.Predict(film.Worn{Ground: r.Ground, Parts: parts, Apply: r.Apply})
	if err != nil {
		t.Fatal(err)
	}
	r.Targets, r.LoadLo, r.Most, r.Second = []Goal{{Lab: look.Lab}}, 0, 4, colour.D65
	b := mustMatch(t, r).Blends[0]
	r, pr, _, _ := problemOf(t, r)
	s := newSolver(pr)
	least := math.Inf(1)
	for range 300 {
		x, ok := memberStart(rng, pr)
		if !ok {
			continue
		}
		if o := s.solve([]int{0, 1, 2, 3}, &x, stop{decrease: 1e-14}, false); o.f < 1e-8 {
			least = math.Min(least, (o.x[0]+o.x[1]+o.x[2]+o.x[3])*r.LoadHi)
		}
	}
	if b.DeltaE00 > 1e-3 || b.LoadPercent > least+1e-3 {
		t.Errorf("ΔE00 %.4f with %.4f %%, a random member has %.4f %%", b.DeltaE00, b.LoadPercent, least)
	}
}

// memberStart draws a mixture of all four powders within the bounds.
func memberStart(rng *rand.Rand, p *problem) (x [MostParts]float64, ok bool) {
	return randomMixture(rng, p, []int{0, 1, 2, 3})
}

// A family's line leaves the colour as it is, by a step of length 1; what is off it is
// brought back to the target; and where it was walked is known.
func TestTangent(t *testing.T) {
	for seed := range uint64(10) {
		f := forwardCase(t, drawer(t), 340+seed)
		r := f.request
		r.Powders, r.LoadLo = f.some(rand.New(rand.NewPCG(seed, 33)), 4), 0
		_, p, _, _ := problemOf(t, r)
		line := &family{e: newEvaluator(p), v: &p.views[0], p: p}
		line.e.choose([]int{0, 1, 2, 3})
		x := [MostParts]float64{0.2, 0.3, 0.15, 0.25}
		way, ok := line.tangent(&x)
		_, slope := line.jacobian(&x)
		long := 0.0
		for _, t := range way {
			long += t * t
		}
		for c := range 3 {
			moved, most := 0.0, 0.0
			for i := range way {
				moved += way[i] * slope[i][c]
				most = math.Max(most, math.Abs(slope[i][c]))
			}
			if !ok || math.Abs(moved) > 1e-9*most || math.Abs(long-1) > 1e-12 {
				t.Errorf("seed %d: along %v, of length %g, the colour moves by %g", seed, way, long, moved)
			}
		}
		line.walked = append(line.walked, [MostParts]float64{}, x)
		for by, want := range map[float64]bool{0.5: true, 0.99: true, 1.01: false} {
			for _, sign := range [2]float64{1, -1} {
				y := x
				for i := range way {
					y[i] += sign * by * familyStep * way[i]
				}
				if line.been(&y) != want {
					t.Errorf("seed %d: %g steps from where it was walked, been there is %t", seed, by, !want)
				}
			}
		}
		line.v.target = line.v.viewing.Lab(&line.e.r[0])
		y := x
		for i := range way {
			y[i] += 0.01 * float64(i)
		}
		if line.correct(&y) {
			if off, _ := line.jacobian(&y); math.Hypot(math.Hypot(off[0], off[1]), off[2]) > 1e-9 {
				t.Errorf("seed %d: brought back to %v off", seed, off)
			}
		}
	}
}
