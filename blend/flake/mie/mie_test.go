package mie

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"pgregory.net/rapid"
)

func close(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %.9g, want %.9g ± %.2g", what, got, want, within)
	}
}

// The test cases of MIEV0 with a finite index, and the answers its driver
// checks against: Wiscombe, Mie Scattering Calculations, NCAR/TN-140+STR
// (1979, revised 1996), seven figures from 14-digit arithmetic. His k has the
// other sign.
func TestWiscombe(t *testing.T) {
	for _, c := range []struct {
		number           int
		x                float64
		m                complex128
		ext, sca, gTimes float64 // Q_ext, Q_sca, g Q_sca
	}{
		{5, 0.099, 0.75, 7.417859e-6, 7.417859e-6, 1.074279e-8},
		{6, 0.101, 0.75, 8.033542e-6, 8.033542e-6, 1.211000e-8},
		{7, 10, 0.75, 2.232265, 2.232265, 2.001164},
		{8, 1000, 0.75, 1.997908, 1.997908, 1.688121},
		{9, 1, 1.33 + 1e-5i, 9.395198e-2, 9.392330e-2, 1.733048e-2},
		{10, 100, 1.33 + 1e-5i, 2.101321, 2.096594, 1.821854},
		{11, 10000, 1.33 + 1e-5i, 2.004089, 1.723857, 1.564987},
		{12, 0.055, 1.5 + 1i, 1.014910e-1, 1.131687e-5, 5.558541e-9},
		{13, 0.056, 1.5 + 1i, 1.033467e-1, 1.216311e-5, 6.193255e-9},
		{14, 1, 1.5 + 1i, 2.336321, 6.634538e-1, 1.274736e-1},
		{15, 100, 1.5 + 1i, 2.097502, 1.283697, 1.091466},
		{16, 10000, 1.5 + 1i, 2.004368, 1.236574, 1.046525},
		{17, 1, 10 + 10i, 2.532993, 2.049405, -2.267961e-1},
		{18, 100, 10 + 10i, 2.071124, 1.836785, 1.021648},
		{19, 10000, 10 + 10i, 2.005914, 1.795393, 9.842238e-1},
	} {
		e, err := Sphere(c.x, c.m)
		if err != nil {
			t.Fatalf("case %d: %v", c.number, err)
		}
		// Half a unit of the last figure quoted, doubled for his own rounding.
		within := func(v float64) float64 { return 1e-6 * math.Abs(v) }
		close(t, "Q_ext", e.Ext, c.ext, within(c.ext))
		close(t, "Q_sca", e.Sca, c.sca, within(c.sca))
		close(t, "Q_abs", e.Abs, c.ext-c.sca, within(c.ext))
		// His cases under x|m| = 0.1 come from a small-particle expansion, whose
		// g is good to 1e-3 of itself.
		g := within(c.gTimes)
		if c.x < 0.1 {
			g = 2e-3 * c.gTimes
		}
		close(t, "g Q_sca", e.G*e.Sca, c.gTimes, g)
	}
}

// More published values: the sample run of BHMIE (Bohren & Huffman, app. A,
// p. 482: λ 0.6328 µm, radius 0.525 µm, index 1.55 in a medium of 1) and
// Wiscombe's m = 1.5, x = 10.
func TestPublishedSpheres(t *testing.T) {
	e, err := Sphere(2*math.Pi*0.525/0.6328, 1.55)
	if err != nil {
		t.Fatal(err)
	}
	close(t, "BHMIE Q_ext", e.Ext, 3.10543, 5e-6)
	close(t, "BHMIE Q_sca", e.Sca, 3.10543, 5e-6)
	close(t, "BHMIE g", e.G, 0.63314, 5e-6)
	e, _ = Sphere(10, 1.5)
	close(t, "m 1.5, x 10, Q_ext", e.Ext, 2.881999, 1e-6)
	close(t, "m 1.5, x 10, g", e.G, 0.742913, 1e-6)
}

// Small spheres obey Rayleigh (Bohren & Huffman 5.7, 5.8), the first two
// terms in x of each efficiency.
func TestRayleigh(t *testing.T) {
	for _, m := range []complex128{1.33, 1.8 + 0.3i, 2.2 + 1.1i} {
		for _, x := range []float64{1e-6, 1e-4, 1e-3} {
			e, err := Sphere(x, m)
			if err != nil {
				t.Fatal(err)
			}
			lorentz := (m*m - 1) / (m*m + 2)
			sca := 8.0 / 3 * math.Pow(x, 4) * Norm(lorentz)
			abs := 4 * x * imag(lorentz)
			close(t, "Q_sca", e.Sca/sca, 1, 10*x*x+1e-9)
			if imag(m) > 0 {
				close(t, "Q_abs", e.Abs/abs, 1, 10*x*x+1e-9)
			}
			if e.G < 0 || e.G > x*x {
				t.Errorf("m %v, x %g: g %g, want between 0 and x²", m, x, e.G)
			}
		}
	}
}

// Great spheres approach the geometric limit 2 + 1.9924 x^(−⅔) (Nussenzveig &
// Wiscombe 1980) where they swallow what enters.
func TestGeometricLimit(t *testing.T) {
	for _, x := range []float64{1000, 5000, 20000} {
		e, err := Sphere(x, 1.5+0.1i)
		if err != nil {
			t.Fatal(err)
		}
		close(t, "Q_ext", e.Ext, 2+1.9924*math.Pow(x, -2.0/3), 0.1/x+3e-4)
	}
}

// Physics that holds for every sphere: efficiencies are not negative, nothing
// scatters more than it takes from the beam, |g| ≤ 1.
func TestBounds(t *testing.T) {
	var w Workspace
	rapid.Check(t, func(t *rapid.T) {
		x := math.Exp(rapid.Float64Range(math.Log(1e-5), math.Log(500)).Draw(t, "ln x"))
		n := rapid.Float64Range(0.2, 5).Draw(t, "n")
		k := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(0, 5)).Draw(t, "k")
		e, err := w.Sphere(x, complex(n, k))
		if err != nil {
			t.Fatal(err)
		}
		if !(e.Sca >= 0 && e.Ext >= e.Sca-1e-12*e.Ext && math.Abs(e.G) <= 1) {
			t.Fatalf("x %g, m %g: %+v", x, complex(n, k), e)
		}
		fresh, _ := Sphere(x, complex(n, k))
		if fresh != e {
			t.Fatalf("a used workspace gives %+v, a new one %+v", e, fresh)
		}
		if math.IsInf(e.Ext, 0) || math.IsNaN(e.G) {
			t.Fatalf("x %g, m %g: %+v is not finite", x, complex(n, k), e)
		}
	})
}

// A sphere of no contrast is not there, and just above x = n nothing jumps.
func TestNoContrast(t *testing.T) {
	e, err := Sphere(30, 1)
	if err != nil {
		t.Fatal(err)
	}
	close(t, "Q_ext of nothing", e.Ext, 0, 1e-13)
	for n := 1.0; n < 12; n++ {
		below, _ := Sphere(math.Nextafter(n, 0), 1.7+0.05i)
		at, _ := Sphere(n, 1.7+0.05i)
		close(t, "Q_ext across an integer", below.Ext, at.Ext, 1e-12)
		close(t, "g across an integer", below.G, at.G, 1e-12)
	}
}

func TestRefuses(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		x float64
		m complex128
	}{
		{0, 1.5}, {-1, 1.5}, {nan, 1.5}, {math.Inf(1), 1.5}, {1e6, 1.5},
		{1, 0}, {1, -1.5}, {1, 0.5i}, {1, 0.009}, {1, 15.1}, {9e-7, 1.5}, {2.1e4, 1.5}, {1, 1.5 - 0.1i}, {1, complex(nan, 0)}, {1, complex(1.5, nan)}, {1, 20}, {1, complex(math.Inf(1), 0)},
	} {
		if e, err := Sphere(c.x, c.m); err == nil {
			t.Errorf("x %g, m %g gave %+v", c.x, c.m, e)
		}
	}
	for _, m := range []complex128{0.01, 15, 1.5} {
		for _, x := range []float64{MinSize, 1} {
			if _, err := Sphere(x, m); err != nil {
				t.Errorf("x %g, m %g: %v", x, m, err)
			}
		}
	}
}

func BenchmarkSphere(b *testing.B) {
	for _, c := range []struct {
		name string
		x    float64
	}{{"x1", 1}, {"x10", 10}, {"x100", 100}} {
		b.Run(c.name, func(b *testing.B) {
			var w Workspace
			b.ReportAllocs()
			for b.Loop() {
				if _, err := w.Sphere(c.x, 1.8+0.3i); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// Values from testdata/flake/mie.py, which takes the coefficients straight
// from SciPy's spherical Bessel functions.
func TestAgreesWithBesselFunctions(t *testing.T) {
	raw, err := os.ReadFile("../../../testdata/flake/mie.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []struct{ X, N, K, Ext, Sca, G float64 }
	if err := json.Unmarshal(raw, &cases); err != nil {
		t.Fatal(err)
	}
	if len(cases) != 48 {
		t.Fatalf("%d cases, want 48", len(cases))
	}
	for _, c := range cases {
		e, err := Sphere(c.X, complex(c.N, c.K))
		if err != nil {
			t.Fatal(err)
		}
		close(t, "Q_ext", e.Ext/c.Ext, 1, 1e-9)
		close(t, "Q_sca", e.Sca/c.Sca, 1, 1e-9)
		close(t, "g", e.G, c.G, 1e-9)
	}
}
