package search

import (
	"math"
	"math/rand/v2"
	"testing"

	"tawny/blend/film"
)

// nearest is the blend that Nearest finds the parts of.
func nearest(t *testing.T, r Request) (b Blend) {
	t.Helper()
	var err error
	if b.Parts, err = Nearest(t.Context(), r); err != nil {
		t.Fatal(err)
	}
	r.Most = 0 // of a match
	m, err := NewMixture(r, b.Parts)
	if err != nil {
		t.Fatal(err)
	}
	percent := Percents(b.Parts)
	b.Objective = m.Objective(percent)
	for _, p := range percent {
		b.LoadPercent += p
	}
	return b
}

// Nearest has the least objective of all that a match finds, and with more
// powders than a match may ask for it keeps every bound: six, each with an
// amount it may not go below.
func TestNearest(t *testing.T) {
	p := drawer(t)
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 17))
		r := forwardCase(t, p, 400+seed).nudged(rng, 2)
		r.Powders, r.Equal = p.Pigments[:14], 1e-9
		best := mustMatch(t, r).Blends[0]
		r, err := r.WithDefaults()
		if err != nil {
			t.Fatal(err)
		}
		b := nearest(t, r)
		if b.Objective > best.Objective+1e-6 {
			t.Errorf("seed %d: objective %.9g, a match finds %.9g", seed, b.Objective, best.Objective)
		}
		six := r
		six.Powders, six.Most, six.LoadLo, six.LoadHi = nil, 6, 4, 7
		six.Choice.Limits = map[string]Limit{}
		for _, i := range rng.Perm(len(p.Pigments))[:6] {
			six.Powders = append(six.Powders, p.Pigments[i])
			six.Choice.Limits[p.Pigments[i].Name] = Limit{AtLeast: 0.5, AtMost: 0.5 + 2*rng.Float64()}
		}
		b = nearest(t, six)
		if len(b.Parts) != 6 || b.LoadPercent < 4-1e-9 || b.LoadPercent > 7+1e-9 {
			t.Errorf("seed %d: %d powders at %g %%", seed, len(b.Parts), b.LoadPercent)
		}
		for _, part := range b.Parts {
			l := six.Choice.Limit(part.Pigment.Name)
			if part.Percent < l.AtLeast-1e-9 || part.Percent > l.AtMost+1e-9 {
				t.Errorf("seed %d: %s at %g %%, %g to %g asked", seed, part.Pigment.Name, part.Percent, l.AtLeast, l.AtMost)
			}
		}
		// No random mixture within the same bounds comes nearer.
		m, err := NewMixture(r, b.Parts)
		if err != nil {
			t.Fatal(err)
		}
		least := math.Inf(1)
		percent := make([]float64, 6)
		for range 4000 {
			load := 0.0
			for i, part := range b.Parts {
				l := six.Choice.Limit(part.Pigment.Name)
				percent[i] = l.AtLeast + rng.Float64()*(l.AtMost-l.AtLeast)
				load += percent[i]
			}
			if load >= 4 && load <= 7 {
				least = math.Min(least, m.Objective(percent))
			}
		}
		if b.Objective > least+1e-6 {
			t.Errorf("seed %d: objective %.6g, a random mixture has %.6g", seed, b.Objective, least)
		}
	}
	if _, err := NewMixture(Request{}, []film.Part{{}}); err == nil {
		t.Error("a mixture of nothing under no request: no error")
	}
}
