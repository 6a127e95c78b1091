package search

import (
	"math"
	"tawny/blend/doubt"
	"tawny/blend/film"
	"tawny/blend/palette"
	"testing"
)

// Small variations agree with the linear propagation of Uncertainty, which
// shares no code with the draws.
func TestScatterAgreesWithLinear(t *testing.T) {
	p := drawer(t)
	for seed := range uint64(5) {
		f := forwardCase(t, p, seed)
		r := f.request
		v := Variation{BatchGrams: 200, BalanceStep: 0.02, Strength: 0.02, Application: 0.03, Draws: 8000, Seed: seed}
		got, err := ScatterOf(r, f.parts, v)
		if err != nil {
			t.Fatal(err)
		}
		// ± half a step evenly and half a step of repeatability.
		weigh := 100 * 0.02 * math.Hypot(0.5, 1/math.Sqrt(12)) / 200
		d := doubt.Doubts{Apply: v.Application, Weigh: weigh, Powders: map[*palette.Pigment]doubt.Powder{}}
		for _, part := range f.parts {
			d.Powders[part.Pigment] = doubt.Powder{Strength: v.Strength}
		}
		want, err := doubt.Uncertainty(film.Worn{Ground: r.Ground, Parts: f.parts, Apply: r.Apply}, d)
		if err != nil {
			t.Fatal(err)
		}
		// The linear figure stands on an approximation of a sum of χ².
		if math.Abs(got.DeltaE95/want.DeltaE95-1) > 0.08 {
			t.Errorf("seed %d: 95 %% within ΔE00 %.4f, linear %.4f", seed, got.DeltaE95, want.DeltaE95)
		}
		if !(got.Median < got.DeltaE95 && got.Weighing < got.DeltaE95 && got.Strength < got.DeltaE95 && got.Application < got.DeltaE95) {
			t.Errorf("seed %d: %+v", seed, got)
		}
		again, _ := ScatterOf(r, f.parts, v)
		if again != got {
			t.Errorf("seed %d: the same seed gave another answer", seed)
		}
	}
}

func TestScatterLimits(t *testing.T) {
	p := drawer(t)
	f := forwardCase(t, p, 4)
	none, err := ScatterOf(f.request, f.parts, Variation{})
	if err != nil || none.DeltaE95 != 0 || none.Target95 > 1e-9 {
		t.Errorf("no variation: %+v, %v", none, err)
	}
	for _, v := range []Variation{{BalanceStep: 1}, {Strength: -1}, {Application: math.NaN()}, {Strength: 2}, {Draws: 3}} {
		if _, err := ScatterOf(f.request, f.parts, v); err == nil {
			t.Errorf("%+v: no error", v)
		}
	}
	usual, err := ScatterOf(f.request, f.parts, Variation{Strength: UsualStrength, Application: UsualApplication})
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("usual lots and application: 95 %% within ΔE00 %.2f; lots alone %.2f, application alone %.2f", usual.DeltaE95, usual.Strength, usual.Application)
}

// With a coarse balance the weighing error, not 0.3, says what is equal.
func TestEqualWidensToWeighing(t *testing.T) {
	p := drawer(t)
	r := forwardCase(t, p, 5).request
	r.BatchGrams, r.BalanceStep = 50, 0.5
	if e := mustMatch(t, r).Request.Equal; e <= EqualDeltaE {
		t.Errorf("equal within %.3f on a balance of 0.5 g for 50 g", e)
	}
	r.BalanceStep = 0.001
	if e := mustMatch(t, r).Request.Equal; e != EqualDeltaE {
		t.Errorf("equal within %.3f on a balance of 0.001 g", e)
	}
	r.BalanceStep, r.Equal = 0.5, 0.1
	if e := mustMatch(t, r).Request.Equal; e != 0.1 {
		t.Errorf("asked for 0.1, equal within %.3f", e)
	}
}
