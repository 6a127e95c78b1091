package search

import (
	"math"
	"math/rand/v2"
	"testing"

	"tawny/blend/film"
	"tawny/colour"
)

// Aimed at under both lights, a shade holds better under the worse of them
// than aimed at under daylight alone; and a target some blend has under both
// is found under both.
func TestBothLights(t *testing.T) {
	p := drawer(t)
	better, day, both := 0, 0.0, 0.0
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 61))
		f := forwardCase(t, p, 700+seed)
		look, err := film.Predict(film.Worn{Ground: f.request.Ground, Parts: f.parts, Apply: f.request.Apply})
		if err != nil {
			t.Fatal(err)
		}
		r := f.request
		r.Powders, r.Equal = nil, 1e-6
		for _, i := range rng.Perm(len(p.Pigments))[:16] {
			r.Powders = append(r.Powders, p.Pigments[i])
		}
		worst := func(b Blend) float64 {
			return math.Max(b.DeltaE00, colour.DeltaE00(b.SecondLab, look.SecondLab))
		}
		one := worst(mustMatch(t, r).Blends[0])
		r.Targets = []Goal{{Lab: look.Lab, Viewing: colour.D65}, {Lab: look.SecondLab, Viewing: film.StageView()}}
		two := worst(mustMatch(t, r).Blends[0])
		day, both = day+one/6, both+two/6
		if two > one+0.05 {
			t.Errorf("seed %d: aimed at both the worse is off by %.3f, at daylight alone %.3f", seed, two, one)
		}
		if two < one-0.05 {
			better++
		}
		r.Powders = f.some(rng, 16)
		if d := worst(mustMatch(t, r).Blends[0]); d > 0.01 {
			t.Errorf("seed %d: with the powders that made it, off by %.4f under the worse light", seed, d)
		}
	}
	t.Logf("worse of two lights off by ΔE00 %.2f on average, by %.2f aimed at daylight alone; %d of 6 clearly better", both, day, better)
	if better == 0 {
		t.Error("aiming at both lights never helped")
	}
}
