package drawdown

import (
	"math"
	"math/rand/v2"
	"testing"

	"tawny/colour"
)

// A lot of the same shade but another strength is told by one drawdown.
func TestLotStrength(t *testing.T) {
	for name, old := range powders() {
		for _, strength := range []float64{0.8, 0.95, 1, 1.1, 1.3} {
			lot := old.Scaled(strength)
			reading := drawn(t, lot, []float64{0.08}, 0.02)[1:]
			s, err := CompareLot(&old, reading)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			if math.Abs(s.Strength-strength) > 1e-6 || s.Shade.DeltaE00 > 1e-5 || math.Abs(s.Shade.DL)+math.Abs(s.Shade.DC)+math.Abs(s.Shade.DH) > 1e-4 {
				t.Errorf("%s × %g: %+v", name, strength, *s)
			}
			if colour.RMS(&s.Powder.K, &lot.K) > 1e-5 {
				t.Errorf("%s × %g: powder off", name, strength)
			}
			if (s.DeltaE00 < 1e-6) != (strength == 1) {
				t.Errorf("%s × %g: ΔE00 %g as it is", name, strength, s.DeltaE00)
			}
		}
	}
}

// The standard error covers what noise and mass do to the strength.
func TestLotStrengthError(t *testing.T) {
	old := powders()["red"]
	inside, n := 0, 200
	for seed := range uint64(n) {
		rng := rand.New(rand.NewPCG(seed, 5))
		m := 0.08 * math.Exp(0.03*rng.NormFloat64())
		r := drawn(t, old, []float64{m}, 0)[1]
		r.Mass = Mass{0.08, 0.03 * 0.08}
		r.Read = disturb(rng, r.Read, 0.3)
		s, err := CompareLot(&old, []Reading{r})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(s.Strength-1) < z95*s.Err {
			inside++
		}
	}
	if share := float64(inside) / float64(n); share < 0.88 {
		t.Errorf("the strength's 95 %% band holds the truth in %.0f %%", 100*share)
	}
}

// A redder lot shows as a shade shift of the right sign.
func TestLotShade(t *testing.T) {
	old := powders()["yellow"]
	lot := old
	for j := range lot.K {
		if nm := colour.WavelengthNM(j); nm > 480 && nm < 580 {
			lot.K[j] *= 1.6
		}
	}
	s, err := CompareLot(&old, drawn(t, lot, []float64{0.08}, 0.02)[1:])
	if err != nil || s.Shade.DH >= 0 || s.Shade.DeltaE00 < 0.5 || s.Shade.DeltaE00 > s.DeltaE00 {
		t.Errorf("%+v %v, want a turn towards red", s, err)
	}
}

// A lot's absorption and its scattering each go to the record by their own
// ratio; films that tell them apart in no band move both alike.
func TestLotKeepsAbsorptionAndScatteringApart(t *testing.T) {
	record, old := powders()["yellow"], powders()["red"]
	now := old
	for j := range now.K {
		now.K[j] *= 1.5
		now.S[j] *= 0.8
	}
	c := &Change{Shift: Shift{Strength: 1}, before: old, now: now}
	for j, got := range c.Of(record).K {
		if math.Abs(got-1.5*record.K[j]) > 1e-12*record.K[j] {
			t.Fatalf("band %d: K %g, want 1.5 of %g", j, got, record.K[j])
		}
	}
	for j, got := range c.Of(record).S {
		if math.Abs(got-0.8*record.S[j]) > 1e-12*record.S[j] {
			t.Fatalf("band %d: S %g, want 0.8 of %g", j, got, record.S[j])
		}
	}
	redder := old
	for j := range redder.K {
		if nm := colour.WavelengthNM(j); nm > 480 && nm < 580 {
			redder.K[j] *= 1.2
			redder.S[j] *= 1.2
		}
	}
	got, err := Bandwise(&old, 1, drawn(t, redder, []float64{0.08, 0.3}, 0.02))
	if err != nil {
		t.Fatal(err)
	}
	for j := range got.K {
		k, s := got.K[j]/old.K[j], got.S[j]/old.S[j]
		if math.Abs(k-s) > 1e-12*k || math.Abs(k-redder.K[j]/old.K[j]) > 0.05 {
			t.Errorf("band %d: K by %.4f, S by %.4f, want %.4f", j, k, s, redder.K[j]/old.K[j])
		}
	}
}

func TestLotRefuses(t *testing.T) {
	old := powders()["red"]
	if _, err := CompareLot(&old, nil); err == nil {
		t.Error("no readings")
	}
	// Black on black shows nothing.
	r := drawn(t, old, []float64{1e-6}, 0)
	if _, err := CompareLot(&old, r[:1]); err == nil {
		t.Error("a drawdown that shows nothing")
	}
}
