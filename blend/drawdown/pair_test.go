package drawdown

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"tawny/blend/film"
	"tawny/colour"
)

// Without noise the closed form returns the film it was given, to 1e-6 of it,
// over four decades of K and S, as long as the ground shows.
func TestPairRecovers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := math.Pow(10, rapid.Float64Range(-3, 1).Draw(t, "log K"))
		s := math.Pow(10, rapid.Float64Range(-3, 1).Draw(t, "log S"))
		g1 := rapid.Float64Range(0, 0.1).Draw(t, "black")
		g2 := rapid.Float64Range(0.6, 0.97).Draw(t, "white")
		// T² from the film over black and over white (Kubelka 1948).
		r0, _, _ := film.Reflect(k, s, 0)
		over, _, _ := film.Reflect(k, s, 1)
		if math.Sqrt((over-r0)*(1-r0)) < 1e-3 {
			t.Skip("the ground does not show")
		}
		r1, _, _ := film.Reflect(k, s, g1)
		r2, _, _ := film.Reflect(k, s, g2)
		for _, swap := range []bool{false, true} {
			if swap {
				r1, g1, r2, g2 = r2, g2, r1, g1
			}
			b, err := Pair(r1, g1, r2, g2, 0)
			if err != nil || b.Known != Both {
				t.Fatalf("K %g S %g: %+v %v", k, s, b, err)
			}
			if math.Abs(b.K-k) > 1e-6*k || math.Abs(b.S-s) > 1e-6*s || math.Abs(b.Ratio-k/s) > 1e-6*k/s {
				t.Fatalf("K %g S %g came back as %+v", k, s, b)
			}
		}
	})
}

// The form with a and y printed in textbooks, where it works.
func TestPairIsTheTextbooks(t *testing.T) {
	k, s, g1, g2 := 0.3, 0.8, 0.04, 0.85
	r1, _, _ := film.Reflect(k, s, g1)
	r2, _, _ := film.Reflect(k, s, g2)
	det := (r1+g1)*(r2-g2) - (r2+g2)*(r1-g1)
	a := ((1+r1*g1)*(r2-g2) - (1+r2*g2)*(r1-g1)) / det
	y := ((r1+g1)*(1+r2*g2) - (r2+g2)*(1+r1*g1)) / det
	b := math.Sqrt(a*a - 1)
	wantS := math.Atanh(b/y) / b
	got, err := Pair(r1, g1, r2, g2, 0)
	if err != nil || math.Abs(got.S-wantS) > 1e-12 || math.Abs(got.K-wantS*(a-1)) > 1e-12 {
		t.Errorf("%+v %v, textbook K %g S %g", got, err, wantS*(a-1), wantS)
	}
}

func TestPairAtItsLimits(t *testing.T) {
	// A clear film, one that only absorbs (Beer's law both ways), one that
	// only scatters.
	for _, c := range []struct {
		name         string
		r1, g1, r2   float64
		g2, k, s     float64
		absoluteOnly bool
	}{
		{"clear", 0.05, 0.05, 0.8, 0.8, 0, 0, false},
		{"absorbing", 0.05 * math.Exp(-0.6), 0.05, 0.8 * math.Exp(-0.6), 0.8, 0.3, 0, false},
		{"scattering over black", 0.5 / 1.5, 0, (0.5*0.2 + 0.8) / (1 + 0.5*0.2), 0.8, 0, 0.5, false},
	} {
		b, err := Pair(c.r1, c.g1, c.r2, c.g2, 0)
		if err != nil || b.Known != Both || math.Abs(b.K-c.k) > 1e-14 || math.Abs(b.S-c.s) > 1e-14 {
			t.Errorf("%s: %+v %v, want K %g S %g", c.name, b, err, c.k, c.s)
		}
	}
	// Opaque: only K/S is known, and it is right.
	r := film.Infinite(0.6, 1)
	b, err := Pair(r, 0.05, r, 0.8, 0)
	if err != nil || b.Known != RatioOnly || math.Abs(b.Ratio-0.6) > 1e-14 || b.K != 0 || b.S != 0 {
		t.Errorf("opaque: %+v %v", b, err)
	}
	// Nearly opaque: known exactly when exact, a ratio when noise would hide it.
	r1, _, _ := film.Reflect(1.5, 2, 0.05)
	r2, _, _ := film.Reflect(1.5, 2, 0.8)
	if b, err := Pair(r1, 0.05, r2, 0.8, 0); err != nil || b.Known != Both || math.Abs(b.S-2) > 1e-6 {
		t.Errorf("nearly opaque: %+v %v", b, err)
	}
	if b, err := Pair(r1, 0.05, r2, 0.8, 0.002); err != nil || b.Known != RatioOnly || math.Abs(b.Ratio-0.75) > 1e-2 {
		t.Errorf("nearly opaque with noise: %+v %v", b, err)
	}
	if _, err := Pair(0.3, 0.5, 0.4, 0.5, 0); !errors.Is(err, ErrGrounds) {
		t.Errorf("one ground: %v", err)
	}
	// Lighter over black than over white.
	if b, err := Pair(0.7, 0.05, 0.2, 0.8, 0); !errors.Is(err, ErrPair) {
		t.Errorf("swapped: %+v %v", b, err)
	}
	if b, err := Pair(math.NaN(), 0.05, 0.2, 0.8, 0); err == nil {
		t.Errorf("NaN: %+v", b)
	}
}

// A whole powder from one film over black and white, through the surface; the
// flakes' by iteration from the same two readings.
func TestPairClosedForm(t *testing.T) {
	for name, p := range powders() {
		r := drawn(t, p, []float64{0.12}, 0.02)
		got, known, err := closedForm(r[0], r[1])
		if p.Flake {
			// Their beam leaves no closed form: the same two equations by iteration.
			r[0].Mass.Err, r[1].Mass.Err = 0, 0
			var f *Fit
			if f, err = FitPowder(r[:2], Options{Flake: true}); err == nil {
				got, known = f.Powder, f.Known
			}
		}
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for j := range got.K {
			if known[j] != Both || math.Abs(got.K[j]-p.K[j]) > 1e-6*p.K[j] || math.Abs(got.S[j]-p.S[j]) > 1e-6*p.S[j] {
				t.Errorf("%s at %g nm: K %.9g S %.9g known %v, want %g %g", name, colour.WavelengthNM(j), got.K[j], got.S[j], known[j], p.K[j], p.S[j])
				break
			}
		}
	}
	r := drawn(t, powders()["red"], []float64{0.12, 0.2}, 0.02)
	if _, _, err := closedForm(r[0], r[3]); err == nil {
		t.Error("two films taken for one")
	}
}

// A tinted binder is taken off.
func TestBinderIsTakenOff(t *testing.T) {
	p := powders()["yellow"]
	black, white := cards()
	var rs []Reading
	for _, g := range []colour.Spectrum{black, white} {
		r := Reading{Film: "a", Ground: g, Mass: Mass{0.1, 0}, Surface: sphere(t), BinderK: colour.Constant(0.02), BinderS: colour.Constant(0.01)}
		var err error
		if r.Read, err = p.Predict(&r); err != nil {
			t.Fatal(err)
		}
		rs = append(rs, r)
	}
	got, _, err := closedForm(rs[0], rs[1])
	if err != nil || colour.RMS(&got.K, &p.K) > 1e-6 || colour.RMS(&got.S, &p.S) > 1e-6 {
		t.Errorf("K off by %g, S by %g, %v", colour.RMS(&got.K, &p.K), colour.RMS(&got.S, &p.S), err)
	}
}
