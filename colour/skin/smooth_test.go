package skin

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"tawny/colour"
)

// A grey is a flat spectrum.
func TestSmoothSpectrumOfGreyIsFlat(t *testing.T) {
	for _, level := range []float64{0.1, 0.3, 0.5, 0.8} {
		want := colour.Constant(level)
		got, err := SmoothSpectrum(colour.D65.Lab(&want), colour.D65, 0)
		if err != nil {
			t.Fatal(err)
		}
		if rms := colour.RMS(&got, &want); rms > 1e-9 {
			t.Errorf("grey %g is off a flat spectrum by %.2g", level, rms)
		}
	}
}

// The answer has the colour of a bell or an edge, as the spectra of coloured things
// mostly are, under each light and above each floor, and lies near it.
func TestSmoothSpectrumHasTheColour(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	const trials = 1200
	off := 0.0
	for n := range trials {
		v := viewings(t)[n%12]
		floor := []float64{0, 0.03}[n%2]
		at, width := 380+350*rng.Float64(), 15+80*rng.Float64()
		least, height := 0.05+0.3*rng.Float64(), 0.03+0.6*rng.Float64()
		var from colour.Spectrum
		for i := range from {
			d := (colour.WavelengthNM(i) - at) / width
			shape := math.Exp(-d * d / 2)
			if n%3 > 0 {
				shape = 1 / (1 + math.Exp(-4*d))
			}
			from[i] = min(0.98, least+height*shape)
		}
		c := v.Lab(&from)
		got, err := SmoothSpectrum(c, v, floor)
		if err != nil {
			t.Fatalf("%s %v: %v", v.Name(), c, err)
		}
		if d := colour.DeltaE76(v.Lab(&got), c); d > 1e-9 {
			t.Errorf("%s %v: colour off by %.2g", v.Name(), c, d)
		}
		for i, x := range got {
			if !(x > floor && x < 1) {
				t.Errorf("%s %v: %g at %g nm, floor %g", v.Name(), c, x, colour.WavelengthNM(i), floor)
			}
		}
		off += colour.RMS(&got, &from) / trials
	}
	t.Logf("mean RMS %.4f", off)
	// The least sum of squared second differences, the method before, came to 0.076.
	if off > 0.07 {
		t.Errorf("mean RMS %.4f", off)
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

func TestSmoothSpectrumRefuses(t *testing.T) {
	for _, c := range []colour.Lab{{L: 0}, {L: 100}, {L: 101}, {L: 1, A: 60, B: -80}, {L: 50, A: 0, B: 150}, {L: 97, A: 40, B: 40}, {L: math.NaN()}} {
		if _, err := SmoothSpectrum(c, colour.D65, 0); !errors.Is(err, ErrNoReflectance) {
			t.Errorf("%v: %v, want ErrNoReflectance", c, err)
		}
	}
	// Above a floor the dark colours go too.
	black := colour.Constant(0.03)
	if _, err := SmoothSpectrum(colour.D65.Lab(&black), colour.D65, 0.04); !errors.Is(err, ErrNoReflectance) {
		t.Errorf("3 per cent above a floor of 4: %v", err)
	}
}

// reachable reports whether some reflectance strictly between floor and 1 in
// every band has the tristimulus values goal. Those that do form a convex
// solid whose faces each stand square to the cross product of two bands'
// weights (the object-colour solid of the grid), so trying every pair settles
// it.
func reachable(goal [3]float64, w *[3]colour.Spectrum, floor float64) bool {
	band := func(i int) [3]float64 { return [3]float64{w[0][i], w[1][i], w[2][i]} }
	for i := 0; i < colour.Bands; i++ {
		for j := i + 1; j < colour.Bands; j++ {
			n := cross(band(i), band(j))
			if norm(n) == 0 {
				continue
			}
			low, high := 0.0, 0.0 // of n·Σ w R
			for k := 0; k < colour.Bands; k++ {
				if d := dot(n, band(k)); d > 0 {
					low, high = low+d*floor, high+d
				} else {
					low, high = low+d, high+d*floor
				}
			}
			if x := dot(n, goal); !(x > low && x < high) {
				return false
			}
		}
	}
	return true
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}
