package search

import (
	"context"
	"math"
	"math/rand/v2"
	"tawny/blend/film"
	"tawny/blend/palette"
	"testing"

	"pgregory.net/rapid"
)

// roundCase is a blend of k powders made by the forward model, and a request
// whose target is a little off it.
func roundCase(t testing.TB, p *palette.Drawer, rng *rand.Rand, k int) (Request, Blend) {
	t.Helper()
	f := forwardCase(t, p, rng.Uint64()%1000)
	r := f.nudged(rng, 0.4)
	r.Powders = nil
	for _, i := range rng.Perm(len(p.Pigments))[:k] {
		r.Powders = append(r.Powders, p.Pigments[i])
		r.Choice.Must = append(r.Choice.Must, p.Pigments[i].Name)
	}
	r.Most = k
	if rng.IntN(2) == 0 {
		// Aimed at exactly, so that rounding costs at first order.
		look, err := film.Predict(film.Worn{Ground: r.Ground, Parts: mustMatch(t, r).Blends[0].Parts, Apply: r.Apply})
		if err != nil {
			t.Fatal(err)
		}
		r.Targets = []Goal{{Lab: look.Lab}}
	}
	return r, mustMatch(t, r).Blends[0]
}

// On batches small enough to try every way of weighing, the lattice search
// finds the best of them.
func TestRoundAgainstBruteForce(t *testing.T) {
	p := drawer(t)
	for seed := range uint64(100) {
		rng := rand.New(rand.NewPCG(seed, 21))
		k := 2 + int(seed%3)
		r, b := roundCase(t, p, rng, k)
		// From a handful of steps to as many as there is time for.
		steps := 4 + rng.IntN([]int{0, 0, 900, 90, 32}[k])
		step := []float64{1, 0.1, 0.01, 0.001}[rng.IntN(4)]
		batch := float64(steps) * step * 100 / b.LoadPercent
		if last := b.Parts[len(b.Parts)-1]; seed%4 == 0 && last.Percent > 4*b.LoadPercent/float64(steps) {
			r.Choice.Limits = map[string]Limit{last.Pigment.Name: {AtMost: 0.6 * last.Percent}}
		}
		g, err := NewMixture(r, b.Parts)
		if err != nil {
			t.Fatal(err)
		}
		round := func(every bool) Rounded {
			q, err := g.steps(context.Background(), b.Parts, batch, step, 0, 0)
			if err != nil {
				t.Fatal(err)
			}
			if every {
				q.f = math.Inf(1)
				q.all(context.Background(), 0, q.total, new([MostParts]int))
			}
			out, err := q.rounded(b)
			if err != nil {
				t.Fatal(err)
			}
			return out
		}
		every, nearest := round(true), round(false)
		if math.Abs(nearest.Blend.Objective-every.Blend.Objective) > 1e-12*every.Blend.Objective {
			t.Errorf("seed %d: %d powders, %d steps: lattice %v √f %.5f, every way %v √f %.5f", seed, k, steps,
				nearest.Steps, math.Sqrt(nearest.Blend.Objective), every.Steps, math.Sqrt(every.Blend.Objective))
		}
	}
}

// Whatever is asked, the weights are whole steps that add up to the load, and
// are no worse than rounding each to its nearest and giving the largest the
// rest.
func TestRoundProperties(t *testing.T) {
	p := drawer(t)
	outer := t
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 22))
		n := rapid.IntRange(1, 4).Draw(t, "powders")
		var parts []film.Part
		load := 0.0
		for _, i := range rng.Perm(len(p.Pigments))[:n] {
			percent := 0.05 + 3*rng.Float64()
			parts = append(parts, film.Part{Pigment: p.Pigments[i], Percent: percent})
			load += percent
		}
		f := forwardCase(outer, p, rng.Uint64()%50)
		r := f.request
		r.LoadLo, r.LoadHi = load, load
		step := rapid.SampledFrom([]float64{1, 0.1, 0.01, 0.001}).Draw(t, "step")
		batch := rapid.Float64Range(20, 2000).Draw(t, "batch")
		got, err := Round(context.Background(), r, Blend{Parts: parts}, batch, step)
		if batch*load/100 < step/2 {
			if err == nil {
				t.Fatal("a load under half a step was weighed")
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		sum := 0
		for i, s := range got.Steps {
			sum += s
			if math.Abs(got.Grams[i]-float64(s)*step) > 1e-9*batch || s < 0 {
				t.Fatalf("%d steps of %g g given as %g g", s, step, got.Grams[i])
			}
		}
		if want := math.Round(load * batch / 100 / step); sum != int(want) || sum != got.TotalSteps {
			t.Fatalf("%d steps in all, want %g", sum, want)
		}
		// Plain rounding.
		plain := append([]film.Part(nil), parts...)
		left, largest := got.TotalSteps, 0
		for i := range plain {
			s := int(math.Round(parts[i].Percent * batch / 100 / step))
			left -= s
			plain[i].Percent = float64(s) * step * 100 / batch
			if parts[i].Percent > parts[largest].Percent {
				largest = i
			}
		}
		plain[largest].Percent += float64(left) * step * 100 / batch
		if plain[largest].Percent < 0 {
			return
		}
		g, err := NewMixture(r, plain)
		if err != nil {
			t.Fatal(err)
		}
		at := Percents(plain)
		if f := g.Objective(at); got.Blend.Objective > f+1e-9 {
			t.Fatalf("rounded to √f %.5f; each to its nearest gives %.5f", math.Sqrt(got.Blend.Objective), math.Sqrt(f))
		}
	})
}

// Limits hold after rounding, and a batch too small for them says so.
func TestRoundKeepsLimits(t *testing.T) {
	p := drawer(t)
	rng := rand.New(rand.NewPCG(3, 23))
	r, b := roundCase(t, p, rng, 3)
	small := b.Parts[len(b.Parts)-1]
	r.Choice.Limits = map[string]Limit{small.Pigment.Name: {AtMost: small.Percent}}
	got, err := Round(context.Background(), r, b, 250, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range got.Blend.Parts {
		if part.Pigment == small.Pigment && part.Percent > small.Percent+1e-9 {
			t.Errorf("%s at %g %%, at most %g", small.Pigment.Name, part.Percent, small.Percent)
		}
	}
	r.Choice.Limits = nil
	if _, err := Round(context.Background(), r, b, 2, 1); err == nil {
		t.Error("three powders that must be used were weighed in less than three steps")
	}
	for _, bad := range [][2]float64{{0, 1}, {100, 0}, {math.NaN(), 1}, {1, 2}, {math.Inf(1), 1}} {
		if _, err := Round(context.Background(), r, b, bad[0], bad[1]); err == nil {
			t.Errorf("batch %g g in steps of %g g: no error", bad[0], bad[1])
		}
	}
}

// The smallest batch costs less than asked, and none smaller of those tried
// does; a coarser balance needs a larger one.
func TestSmallestBatch(t *testing.T) {
	p := drawer(t)
	for seed := range uint64(4) {
		rng := rand.New(rand.NewPCG(seed, 24))
		r, b := roundCase(t, p, rng, 3)
		last := 0.0
		for _, step := range []float64{0.001, 0.01, 0.1} {
			s, err := SmallestBatch(context.Background(), r, b, step, 0.2)
			if err != nil {
				t.Fatal(err)
			}
			if !(s.Rounded.Costs < 0.2) || s.AlwaysGrams < s.BatchGrams {
				t.Errorf("step %g: %+v", step, s)
			}
			if best, err := Round(context.Background(), r, b, s.BatchGrams, step); err != nil || s.Rounded.Blend.Objective > best.Blend.Objective*(1+1e-9) {
				t.Errorf("step %g: %v for %g g are not the best, %v; %v", step, s.Rounded.Steps, s.BatchGrams, best.Steps, err)
			}
			for n := 1; ; n++ {
				grams := math.Round(float64(n) * step * 100 / b.LoadPercent)
				if grams >= s.BatchGrams {
					break
				}
				if grams < 10 {
					continue // tried to the tenth of a gram
				}
				if got, err := Round(context.Background(), r, b, grams, step); err == nil && got.Costs < 0.2 {
					t.Errorf("step %g: %g g costs %.3f, but %g g was called smallest", step, grams, got.Costs, s.BatchGrams)
				}
			}
			if s.AlwaysGrams < last {
				t.Errorf("a step of %g g needs %g g, a finer one %g g", step, s.AlwaysGrams, last)
			}
			last = s.AlwaysGrams
			if step == 0.01 {
				t.Logf("%.1f %% of three powders on a balance of %g g: smallest batch %.4g g, always from %.4g g", b.LoadPercent, step, s.BatchGrams, s.AlwaysGrams)
			}
		}
	}
}
