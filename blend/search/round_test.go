package search

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
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
		nearest, err := g.steps(b.Parts, batch, step, 0)
		if err != nil {
			t.Fatal(err)
		}
		every := *nearest
		every.f = math.Inf(1)
		every.all(0, every.total, new([MostParts]int))
		if math.Abs(nearest.f-every.f) > 1e-12*every.f {
			t.Errorf("seed %d: %d powders, %d steps: lattice %v √f %.5f, every way %v √f %.5f", seed, k, steps,
				nearest.best[:k], math.Sqrt(nearest.f), every.best[:k], math.Sqrt(every.f))
		}
	}
}

// all tries every way to share rest out over the parts from i on.
func (q *rounding) all(i, rest int, n *[MostParts]int) {
	if i == q.k-1 {
		if rest >= q.lo[i] && rest <= q.hi[i] {
			n[i] = rest
			q.try(n)
		}
		return
	}
	for v := q.lo[i]; v <= min(rest, q.hi[i]); v++ {
		n[i] = v
		q.all(i+1, rest-v, n)
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
		got, err := Round(r, parts, batch, step)
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
		at := make([]float64, n)
		for i, grams := range got {
			s := math.Round(grams / step)
			sum += int(s)
			if math.Abs(grams-s*step) > 1e-9*batch || s < 0 {
				t.Fatalf("%g g is not of steps of %g g", grams, step)
			}
			at[i] = 100 * grams / batch
		}
		if want := math.Round(load * batch / 100 / step); sum != int(want) {
			t.Fatalf("%d steps in all, want %g", sum, want)
		}
		// Plain rounding.
		plain := append([]film.Part(nil), parts...)
		left, largest := sum, 0
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
		if rounded, f := g.Objective(at), g.Objective(Percents(plain)); rounded > f+1e-9 {
			t.Fatalf("rounded to √f %.5f; each to its nearest gives %.5f", math.Sqrt(rounded), math.Sqrt(f))
		}
	})
}

// Limits hold after rounding, and a batch too small for them says so.
func TestRoundKeepsLimits(t *testing.T) {
	p := drawer(t)
	rng := rand.New(rand.NewPCG(3, 23))
	r, b := roundCase(t, p, rng, 3)
	first, small := b.Parts[0], b.Parts[2]
	r.Choice.Limits = map[string]Limit{small.Pigment.Name: {AtMost: small.Percent}, first.Pigment.Name: {AtLeast: first.Percent}}
	got, err := Round(r, b.Parts, 250, 0.1)
	if err != nil {
		t.Fatal(err)
	}
	if got[2] > 2.5*small.Percent+1e-9 || got[0] < 2.5*first.Percent-1e-9 {
		t.Errorf("%v g of 250, at most %g %% of the last and at least %g %% of the first", got, small.Percent, first.Percent)
	}
	// A limit that is a whole number of steps may be used to the full.
	r.Choice.Limits = map[string]Limit{}
	for i, part := range b.Parts {
		whole := 100 * got[i] / 250
		r.Choice.Limits[part.Pigment.Name] = Limit{AtLeast: whole, AtMost: whole}
	}
	if again, err := Round(r, b.Parts, 250, 0.1); err != nil || !slices.Equal(again, got) {
		t.Errorf("%v; %v, only %v are left", again, err, got)
	}
	for name, l := range map[string]Limit{"least": {AtLeast: 1}, "most": {AtMost: 1}} {
		r.Choice.Limits = map[string]Limit{}
		for _, part := range b.Parts {
			r.Choice.Limits[part.Pigment.Name] = Limit{AtLeast: l.AtLeast * (part.Percent + 0.02*b.LoadPercent), AtMost: 0.8 * l.AtMost * part.Percent}
		}
		if _, err := Round(r, b.Parts, 250, 0.1); err == nil || !strings.Contains(err.Error(), "allow") {
			t.Errorf("at %s other than the load: %v", name, err)
		}
	}
	r.Choice.Limits = map[string]Limit{small.Pigment.Name: {AtLeast: 0.11, AtMost: 0.19}}
	if _, err := Round(r, b.Parts, 100, 0.05); err != nil {
		t.Error(err)
	}
	if _, err := Round(r, b.Parts, 100, 0.2); err == nil || !strings.Contains(err.Error(), small.Pigment.Name) {
		t.Errorf("0.11 to 0.19 g in steps of 0.2 g: %v", err)
	}
	r.Choice.Limits = nil
	for _, bad := range [][2]float64{{0, 1}, {100, 0}, {math.NaN(), 1}, {1, 2}, {math.Inf(1), 1}} {
		if _, err := Round(r, b.Parts, bad[0], bad[1]); err == nil {
			t.Errorf("batch %g g in steps of %g g: no error", bad[0], bad[1])
		}
	}
}

// From the batch told on weighing costs less than asked, and just below it more; a
// coarser balance needs a larger one.
func TestFineFrom(t *testing.T) {
	p := drawer(t)
	for seed := range uint64(4) {
		rng := rand.New(rand.NewPCG(seed, 24))
		r, b := roundCase(t, p, rng, 3)
		g, err := NewMixture(r, b.Parts)
		if err != nil {
			t.Fatal(err)
		}
		exact := math.Sqrt(g.Objective(Percents(b.Parts)))
		last := 0.0
		for _, step := range []float64{0.001, 0.01, 0.1} {
			from, err := FineFrom(r, b.Parts, step, 0.2)
			if err != nil {
				t.Fatal(err)
			}
			perStep := 100 * step / b.LoadPercent // g of batch
			cost := func(n float64) float64 {
				grams := n * perStep
				unit := 1.0
				if grams < 10 {
					unit = 0.1
				}
				grams = math.Round(grams/unit) * unit
				weighed, err := Round(r, b.Parts, grams, step)
				if err != nil {
					return math.Inf(1)
				}
				for i := range weighed {
					weighed[i] *= 100 / grams
				}
				return math.Sqrt(g.Objective(weighed)) - exact
			}
			first := math.Ceil((from - 0.5) / perStep)
			if from < 10 {
				first = math.Ceil((from - 0.05) / perStep)
			}
			for n := first; n < first+SteadySizes; n++ {
				if c := cost(n); c > 0.2 {
					t.Errorf("step %g: from %g g on, but %g g costs %.3f", step, from, n*perStep, c)
				}
			}
			if c := cost(first - 1); c <= 0.2 {
				t.Errorf("step %g: from %g g on, and %g g costs %.3f", step, from, (first-1)*perStep, c)
			}
			if from < last {
				t.Errorf("a step of %g g needs %g g, a finer one %g g", step, from, last)
			}
			last = from
		}
	}
}
