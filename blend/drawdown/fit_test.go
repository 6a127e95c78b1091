package drawdown

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/colour/skin"
)

// Without noise the fit of several films is the powder itself.
func TestFitRecoversExactly(t *testing.T) {
	for name, p := range powders() {
		f, err := FitPowder(drawn(t, p, []float64{0.06, 0.15, 0.4}, 0.02), &p)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for j := range p.K {
			if math.Abs(f.Powder.K[j]-p.K[j]) > 1e-6*p.K[j] || math.Abs(f.Powder.S[j]-p.S[j]) > 1e-6*p.S[j] {
				t.Errorf("%s at %g nm: K %.9g S %.9g, want %g %g", name, colour.WavelengthNM(j), f.Powder.K[j], f.Powder.S[j], p.K[j], p.S[j])
				break
			}
		}
		if f.Verdict != Holds || f.Chi2 > 1e-6 {
			t.Errorf("%s: %s, χ² %g, %v", name, f.Verdict, f.Chi2, f.Reasons)
		}
	}
}

// Six noisy drawdowns (three films over black and white, each reading off by
// σ ΔE00 0.3, each mass by 3 %) predict loads that were not drawn, on skin, read as
// the drawdowns were.
func TestPredictsUnseenLoads(t *testing.T) {
	const seeds, massErr = 5, 0.03
	unseen := []float64{0.02, 0.035, 0.07, 0.14, 0.3, 0.6}
	for _, geometry := range []colour.Geometry{colour.DI, colour.At45} {
		reader, err := film.Lay{Index: film.DefaultIndex, TiltDeg: 10}.Reader(geometry)
		if err != nil {
			t.Fatal(err)
		}
		all, n, within, bands := 0.0, 0, 0, 0
		for name, p := range powders() {
			worst, mean := 0.0, 0.0
			for seed := range uint64(seeds) {
				rng := rand.New(rand.NewPCG(seed, 7))
				readings := drawnBy(t, reader, p, []float64{0.05, 0.1, 0.2}, massErr)
				// The films carry other masses than stated.
				for i := 0; i < len(readings); i += 2 {
					off := math.Exp(massErr * rng.NormFloat64())
					for k := i; k < i+2; k++ {
						carried := readings[k]
						carried.Mass.MgPerCM2 *= off
						r, err := Predict(&p, &carried)
						if err != nil {
							t.Fatal(err)
						}
						readings[k].Read = disturb(rng, r, 0.3)
					}
				}
				f, err := FitPowder(readings, &p)
				if err != nil {
					t.Fatalf("%s: %v", name, err)
				}
				if f.Verdict == DoesNotHold {
					t.Errorf("%s, %s, seed %d: %s: %v", geometry, name, seed, f.Verdict, f.Reasons)
				}
				within += inside(&f.K, &p.K) + inside(&f.S, &p.S)
				bands += 2 * colour.Bands
				for _, m := range unseen {
					want, got := worn(t, p, geometry, skinGround(), m), worn(t, f.Powder, geometry, skinGround(), m)
					d := colour.DeltaE00(colour.D65.Lab(&want.Read), colour.D65.Lab(&got.Read))
					mean += d / (seeds * float64(len(unseen)))
					worst = max(worst, d)
					all += d
					n++
				}
			}
			t.Logf("%s %-7s mean ΔE00 %.3f, worst %.3f", geometry, name, mean, worst)
			if mean >= 0.5 {
				t.Errorf("%s, %s: mean ΔE00 %.3f on unseen loads", geometry, name, mean)
			}
		}
		share := float64(within) / float64(bands)
		t.Logf("%s: mean ΔE00 %.3f over %d predictions; truth inside the 95 %% bands in %.1f %%", geometry, all/float64(n), n, 100*share)
		if share < 0.9 {
			t.Errorf("%s: the 95 %% bands hold the truth in only %.1f %%", geometry, 100*share)
		}
	}
}

// inside counts the bands in which a range holds the truth.
func inside(r *Range, truth *colour.Spectrum) (n int) {
	for j, v := range truth {
		if v >= r.Lo[j] && v <= r.Hi[j] {
			n++
		}
	}
	return n
}

// With noise exactly as stated, the 95 % bands hold the truth about 95 times in
// a hundred, neither much less nor always.
func TestConfidenceIsHonest(t *testing.T) {
	within, bands := 0, 0
	for _, name := range []string{"red", "gold", "yellow"} {
		p := powders()[name]
		for seed := range uint64(20) {
			rng := rand.New(rand.NewPCG(seed, 11))
			readings := drawn(t, p, []float64{0.06, 0.12, 0.24}, 0)
			for i := range readings {
				for j, v := range readings[i].Read {
					readings[i].Read[j] = v + noise(v)*rng.NormFloat64()
				}
			}
			f, err := FitPowder(readings, &p)
			if err != nil {
				t.Fatal(err)
			}
			within += inside(&f.K, &p.K) + inside(&f.S, &p.S)
			bands += 2 * colour.Bands
		}
	}
	share := float64(within) / float64(bands)
	t.Logf("truth inside in %.1f %% of %d bands", 100*share, bands)
	if share < 0.93 || share > 0.98 {
		t.Errorf("truth inside the 95 %% bands in %.1f %%", 100*share)
	}
}

// A film that carries a quarter more than it was said to is found out.
func TestWrongMassIsNamed(t *testing.T) {
	p := powders()["red"]
	readings := drawn(t, p, []float64{0.05, 0.1, 0.2, 0.3}, 0.03)
	for i := 2; i < 4; i++ {
		readings[i].Mass.MgPerCM2 = 0.125
		readings[i].Mass.Err = 0.003
		r, err := Predict(&p, &readings[i])
		if err != nil {
			t.Fatal(err)
		}
		readings[i].Read = r
		readings[i].Mass = Mass{0.1, 0.003}
	}
	f, err := FitPowder(readings, nil)
	if err != nil {
		t.Fatal(err)
	}
	if f.Verdict != WithCare || !strings.Contains(strings.Join(f.Reasons, "; "), "film b looks as if it carried") || f.Films[1].Seen < 0.112 {
		t.Errorf("%s %v, film b seen as %.4f", f.Verdict, f.Reasons, f.Films[1].Seen)
	}
}

// Opaque films give K/S and say so.
func TestOpaqueFilmsGiveTheRatio(t *testing.T) {
	p := powders()["red"]
	readings := drawn(t, p, []float64{2, 4, 6}, 0.02)
	rng := rand.New(rand.NewPCG(3, 3))
	for i := range readings {
		readings[i].Read = disturb(rng, readings[i].Read, 0.1)
	}
	f, err := FitPowder(readings, nil)
	if err != nil {
		t.Fatal(err)
	}
	only := 0
	for j, k := range f.RatioOnly {
		if k {
			only++
		}
		if got, want := f.Powder.K[j]/f.Powder.S[j], p.K[j]/p.S[j]; math.Abs(got-want) > 0.05*want {
			t.Errorf("at %g nm K/S %.4g, want %.4g", colour.WavelengthNM(j), got, want)
		}
	}
	if f.Verdict != WithCare || only < colour.Bands/4 || !strings.Contains(strings.Join(f.Reasons, "; "), "draw a thinner film") {
		t.Errorf("%s, %d bands by ratio only, %v", f.Verdict, only, f.Reasons)
	}
}

// A powder that clumps as the load rises follows no single K and S.
func TestClumpingDoesNotHold(t *testing.T) {
	p := powders()["red"]
	readings := drawn(t, p, []float64{0.03, 0.08, 0.2, 0.5}, 0.02)
	for i := range readings {
		r := &readings[i]
		clumped := p.Scaled(1 / (1 + 4*r.Mass.MgPerCM2))
		var err error
		if r.Read, err = Predict(&clumped, r); err != nil {
			t.Fatal(err)
		}
	}
	f, err := FitPowder(readings, nil)
	if err != nil {
		t.Fatal(err)
	}
	if f.Verdict == Holds {
		t.Errorf("%s %v", f.Verdict, f.Reasons)
	}
	// Read over the wrong ground it holds even less.
	readings = drawn(t, p, []float64{0.03, 0.08, 0.2, 0.5}, 0.02)
	readings[0].Ground, readings[1].Ground = readings[1].Ground, readings[0].Ground
	if f, err = FitPowder(readings, nil); err != nil || f.Verdict != DoesNotHold {
		t.Errorf("grounds swapped: %v %v", f.Verdict, err)
	}
}

func TestVerdictsOfThinEvidence(t *testing.T) {
	p := powders()["yellow"]
	readings := drawn(t, p, []float64{0.1}, 0.02)
	f, err := FitPowder(readings, nil)
	if err != nil || f.Verdict != WithCare || f.Chi2 != 0 || len(f.Reasons) < 2 {
		t.Errorf("one pair: %+v %v", f, err)
	}
	many := drawn(t, p, []float64{0.05, 0.1, 0.3}, 0.02)
	many[0].FromLab = true
	f, err = FitPowder(many, nil)
	if err != nil || f.Verdict != WithCare || !strings.Contains(f.Reasons[0], "L*a*b* only") {
		t.Errorf("from Lab: %v %v", f.Reasons, err)
	}
}

// Loads over one ground alone do separate K from S, though a powder that scatters
// nothing is nearly as good an answer in many a band.
func TestOneGroundFindsTheLowestValley(t *testing.T) {
	for name, p := range powders() {
		many := drawn(t, p, []float64{0.05, 0.1, 0.3}, 0.02)
		for i, ground := range []string{"black", "white"} {
			f, err := FitPowder([]Reading{many[i], many[2+i], many[4+i]}, &p)
			if err != nil {
				t.Fatal(err)
			}
			if k, s := colour.RMS(&f.Powder.K, &p.K), colour.RMS(&f.Powder.S, &p.S); k > 1e-8 || s > 1e-8 {
				t.Errorf("%s over %s alone: K off by %g, S by %g", name, ground, k, s)
			}
		}
	}
}

func TestFitRefuses(t *testing.T) {
	p := powders()["red"]
	good := func() []Reading { return drawn(t, p, []float64{0.1, 0.2}, 0.02) }
	for _, c := range []struct {
		name string
		spil func(r []Reading) []Reading
		want error
		says string
	}{
		{"one reading", func(r []Reading) []Reading { return r[:1] }, ErrTooFew, ""},
		{"the same twice", func(r []Reading) []Reading { r[1] = r[0]; return r[:2] }, ErrTooFew, ""},
		{"no mass", func(r []Reading) []Reading { r[2].Mass = Mass{}; return r }, nil, "reading 3"},
		{"NaN mass", func(r []Reading) []Reading { r[2].Mass.MgPerCM2 = math.NaN(); return r }, nil, "above 0"},
		{"two masses for a film", func(r []Reading) []Reading { r[1].Mass.MgPerCM2 = 0.3; return r }, nil, `film "a"`},
		{"dark ground", func(r []Reading) []Reading { r[0].Ground[4] = 0; return r }, skin.ErrReading, "420 nm"},
		{"dark reading", func(r []Reading) []Reading { r[3].Read[5] = 0; return r }, nil, "430 nm"},
		{"NaN reading", func(r []Reading) []Reading { r[3].Read[5] = math.NaN(); return r }, nil, "reading 4"},
		{"bright ground", func(r []Reading) []Reading { r[0].Ground[4] = 1.2; return r }, skin.ErrReading, "420 nm"},
		{"binder", func(r []Reading) []Reading { r[0].BinderK[0] = -1; return r }, nil, "binder"},
	} {
		f, err := FitPowder(c.spil(good()), nil)
		if err == nil || c.want != nil && !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v %v", c.name, f, err)
		}
	}
}

// A 45°:0° reading is fitted through its own view.
func TestFortyFiveDegrees(t *testing.T) {
	reader, err := film.Lay{Index: film.DefaultIndex, TiltDeg: 10}.Reader(colour.At45)
	if err != nil {
		t.Fatal(err)
	}
	p := powders()["gold"]
	readings := drawn(t, p, []float64{0.05, 0.2}, 0)
	for i := range readings {
		readings[i].Reader = reader
		if readings[i].Read, err = Predict(&p, &readings[i]); err != nil {
			t.Fatal(err)
		}
	}
	f, err := FitPowder(readings, &p)
	if err != nil || colour.RMS(&f.Powder.S, &p.S) > 1e-5 {
		t.Errorf("S off by %g, %v", colour.RMS(&f.Powder.S, &p.S), err)
	}
}

func BenchmarkFitSix(b *testing.B) {
	p := powders()["red"]
	readings := drawn(b, p, []float64{0.05, 0.1, 0.2}, 0.02)
	rng := rand.New(rand.NewPCG(1, 1))
	for i := range readings {
		readings[i].Read = disturb(rng, readings[i].Read, 0.3)
	}
	for b.Loop() {
		if _, err := FitPowder(readings, nil); err != nil {
			b.Fatal(err)
		}
	}
}
