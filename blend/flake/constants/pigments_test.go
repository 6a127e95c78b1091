package constants

import (
	"math"
	"math/cmplx"
	"testing"
)

func TestDawson(t *testing.T) {
	// Abramowitz & Stegun, table 7.5, its greatest value and asymptote.
	for _, c := range []struct{ x, f float64 }{
		{0, 0}, {0.0005, 0.00049999991666667}, {0.5, 0.4244363835}, {1, 0.5380795069},
		{0.9241388730, 0.5410442246}, {2, 0.3013403889}, {5, 0.1021340744}, {-1, -0.5380795069},
		{100, 0.005000250037509}, {1000, 0.00050000025},
	} {
		if f := dawson(c.x); math.Abs(f-c.f) > 1e-10 {
			t.Errorf("F(%g) = %.12f, want %.12f", c.x, f, c.f)
		}
	}
}

// The real part of a Gaussian band is the Kramers–Kronig transform of its
// imaginary part: ε′(E) = 2/π P∫ x ε″(x)/(x² − E²) dx, done here by a sum that
// straddles the pole.
func TestGaussiansObeyKramersKronig(t *testing.T) {
	g := Gaussians{Sellmeier{1, 0, 0}, []Band{{0.5, 2.067, 0.38}, {0.3, 3.1, 0.9}}}
	im := func(e float64) float64 { return imag(g.Epsilon(hcEVNM / e)) }
	for _, e := range []float64{1.7, 2.0, 2.067, 2.4, 3.2} {
		const h = 0.0005
		sum := 0.0
		for i := range 30000 {
			x := (float64(i)+0.5)*h + e - math.Floor(e/h)*h // the pole midway between two samples
			sum += h * x * im(x) / (x*x - e*e)
		}
		want := 1 + 2/math.Pi*sum
		if got := real(g.Epsilon(hcEVNM / e)); math.Abs(got-want) > 2e-3 {
			t.Errorf("ε′ at %g eV: %.5f, want %.5f", e, got, want)
		}
	}
}

// A real response in time has ε(−E) the conjugate of ε(E), also of a band so wide
// that it reaches past 0.
func TestGaussiansAreReal(t *testing.T) {
	g := Gaussians{Sellmeier{2, 0.1, 0.05}, []Band{{0.5, 0.4, 1.2}}}
	for _, nm := range []float64{380, 730, 5000, 50000} {
		if there, back := g.Epsilon(nm), g.Epsilon(-nm); !(cmplx.Abs(back-cmplx.Conj(there)) < 1e-12) {
			t.Errorf("%g nm: %v and %v", nm, there, back)
		}
	}
}

// What is known of the modelled pigments beside the bands put into them.
func TestModelledPigments(t *testing.T) {
	at := func(name string, nm float64) complex128 {
		m, err := Find(name)
		if err != nil {
			t.Fatal(err)
		}
		if m.Source == "" || m.HeldTo == "" {
			t.Errorf("%s does not say where its constants are from, or what they were held to", name)
		}
		return m.Index(nm)
	}
	// Goethite: handbook index 2.26 to 2.52. Its k is what a masstone leaves: the
	// 0.09 in mid-visible that was quoted second-hand makes a film ΔE00 18 too dark.
	if n := real(at("goethite", 589)); n < 2.26 || n > 2.52 {
		t.Errorf("goethite: n %.2f at 589 nm", n)
	}
	// Magnetite: the polished mineral's reflectance in air.
	for nm := 400.0; nm <= 700; nm += 50 {
		z := at("magnetite", nm)
		if r := cmplx.Abs((z - 1) / (z + 1)); r*r < 0.19 || r*r > 0.22 {
			t.Errorf("magnetite at %g nm reflects %.3f, want 0.20 to 0.21 to within 0.01", nm, r*r)
		}
	}
	// Ultramarine: absorbs most at 600 nm, hardly at 460.
	top, where := 0.0, 0.0
	for nm := 400.0; nm <= 700; nm += 5 {
		if k := imag(at("ultramarine", nm)); k > top {
			top, where = k, nm
		}
	}
	if where < 590 || where > 612 || imag(at("ultramarine", 470)) > top/50 {
		t.Errorf("ultramarine: greatest k %.3f at %g nm, %.4f at 470 nm", top, where, imag(at("ultramarine", 470)))
	}
	// Its index stays apart from a binder's 1.47 to 1.50 wherever it hardly absorbs.
	if n := real(at("ultramarine", 460)); n < 1.51 || n > 1.56 {
		t.Errorf("ultramarine: n %.3f at 460 nm", n)
	}
	// Chromium oxide green: a window of less absorption in the green.
	green := imag(at("chromia", 530))
	if green >= imag(at("chromia", 460))/2 || green >= imag(at("chromia", 600))/2 {
		t.Errorf("chromia: k %.3f at 530 nm is no window between %.3f and %.3f", green, imag(at("chromia", 460)), imag(at("chromia", 600)))
	}
}
