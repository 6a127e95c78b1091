package skin

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"tawny/colour"
)

func roughness(r *colour.Spectrum) (sum float64) {
	for i := 1; i < colour.Bands-1; i++ {
		d := r[i-1] - 2*r[i] + r[i+1]
		sum += d * d
	}
	return sum
}

// A grey of any lightness is smoothest as a flat spectrum, which has no second
// differences at all.
func TestSmoothestGreyIsFlat(t *testing.T) {
	for _, level := range []float64{0.1, 0.3, 0.5, 0.8} {
		want := colour.Constant(level)
		got, err := Smoothest(colour.D65.Lab(&want), colour.D65, 0)
		if err != nil {
			t.Fatal(err)
		}
		if rms := colour.RMS(&got, &want); rms > 1e-3 {
			t.Errorf("grey %g is off a flat spectrum by %.2g", level, rms)
		}
	}
}

// The answer has the colour, is possible, and is smoother than the spectrum
// that was asked about and than random spectra of the same colour near it.
func TestSmoothestIsSmoothest(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for n := 0; n < 60; n++ {
		v := viewings(t)[n%12]
		var from colour.Spectrum
		for i := range from {
			from[i] = 0.02 + 0.96*rng.Float64()
		}
		c := v.Lab(&from)
		got, err := Smoothest(c, v, 0)
		if err != nil {
			t.Fatalf("%s %v: %v", v.Name(), c, err)
		}
		if d := colour.DeltaE76(v.Lab(&got), c); d > 1e-9 {
			t.Errorf("%s %v: colour off by %.2g", v.Name(), c, d)
		}
		least := roughness(&got)
		if least > roughness(&from) {
			t.Errorf("%s %v: rougher than the spectrum asked about", v.Name(), c)
		}
		for trial := 0; trial < 20; trial++ {
			other := got
			// Three bands' changes undo what a random change does to X, Y, Z.
			w := v.Weights()
			var miss [3]float64
			for i := range other {
				d := 0.01 * rng.NormFloat64()
				other[i] += d
				for k := range miss {
					miss[k] += w[k][i] * d
				}
			}
			var a [3][3]float64
			bands := [3]int{7, 17, 23} // 450, 550, 610 nm
			for k := range a {
				for l, b := range bands {
					a[k][l] = w[k][b]
				}
			}
			fix, ok := solve3(a, miss)
			if !ok {
				t.Fatal("the three bands do not span X, Y, Z")
			}
			for l, b := range bands {
				other[b] -= fix[l]
			}
			possible := true
			for _, x := range other {
				possible = possible && x > 0 && x < 1
			}
			// The barrier of 1e-8 a band may cost the like of itself.
			if possible && roughness(&other) < least-1e-6 {
				t.Errorf("%s %v: roughness %.9f, but %.9f is possible", v.Name(), c, least, roughness(&other))
			}
		}
	}
}

// Every spectrum between the bounds is of a reachable colour; going past an
// optimal colour (a spectrum of 0 and 1 with two steps, Schrödinger) is not.
func TestReachable(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	w := colour.D65.Weights()
	for n := 0; n < 200; n++ {
		floor := 0.2 * rng.Float64()
		var r colour.Spectrum
		for i := range r {
			r[i] = floor + (1-floor)*(0.001+0.998*rng.Float64())
		}
		x := colour.D65.XYZ(&r)
		if !reachable([3]float64{x.X, x.Y, x.Z}, w, floor) {
			t.Errorf("a spectrum between %g and 1 was called impossible", floor)
		}
		a, b := 3+rng.IntN(15), 20+rng.IntN(12)
		for i := range r {
			if r[i] = 0; i >= a && i < b {
				r[i] = 1
			}
		}
		grey := colour.D65.White()
		x = colour.D65.XYZ(&r)
		const past = 0.01 // away from mid grey
		out := [3]float64{x.X + past*(x.X-grey.X/2), x.Y + past*(x.Y-grey.Y/2), x.Z + past*(x.Z-grey.Z/2)}
		if reachable(out, w, 0) {
			t.Errorf("past the optimal colour of bands %d to %d was called possible", a, b)
		}
	}
}

func TestSmoothestRefuses(t *testing.T) {
	for _, c := range []colour.Lab{{L: 0}, {L: 100}, {L: 101}, {L: 1, A: 60, B: -80}, {L: 50, A: 0, B: 150}, {L: 97, A: 40, B: 40}, {L: math.NaN()}} {
		if _, err := Smoothest(c, colour.D65, 0); !errors.Is(err, ErrNoReflectance) {
			t.Errorf("%v: %v, want ErrNoReflectance", c, err)
		}
	}
	// Above a floor the dark colours go too.
	black := colour.Constant(0.03)
	if _, err := Smoothest(colour.D65.Lab(&black), colour.D65, 0.04); !errors.Is(err, ErrNoReflectance) {
		t.Errorf("3 per cent above a floor of 4: %v", err)
	}
}

func BenchmarkSmoothest(b *testing.B) {
	for b.Loop() {
		if _, err := Smoothest(colour.Lab{L: 49.3, A: 11.3, B: 20.4}, colour.D65, 0); err != nil {
			b.Fatal(err)
		}
	}
}
