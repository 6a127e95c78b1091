package flake

import (
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"tawny/blend/flake/constants"
	"tawny/colour"
)

// At its limits a flake is still accepted, and what is just past them is refused
// by words that say where it is and what would do.
func TestLimitsAreAccepted(t *testing.T) {
	with := func(change func(*Flake)) Flake {
		f := New(Layer{"rutile", 75})
		change(&f)
		return f
	}
	for _, f := range []Flake{
		New(Layer{"silica", MaxCoatNM}),
		New(Layer{"silica", 500}, Layer{"rutile", MaxCoatNM - 500}),
		New(make8()...),
		with(func(f *Flake) { f.SubstrateNM, f.SubstrateSpreadNM = 20, 10 }),
		with(func(f *Flake) { f.SubstrateNM = MaxSubstrateNM }),
		with(func(f *Flake) { f.CoatSpread = 0.3 }),
		with(func(f *Flake) { f.Binder = 1 }),
		with(func(f *Flake) { f.Binder = MaxBinder }),
		with(func(f *Flake) { f.CoatPacking = 1 }),
		with(func(f *Flake) { f.IndexOff, f.AbsorbOff = 0.49, -1 }),
	} {
		if _, err := f.Optics(); err != nil {
			t.Errorf("%+v: %v", f, err)
		}
	}
	for _, c := range []struct {
		f    Flake
		want string
	}{
		{with(func(f *Flake) { f.SubstrateSpreadNM = 201 }), "0 to 200 nm, half the thickness"},
		{with(func(f *Flake) { f.IndexOff = 0.5 }), "n by less than a half"},
		{with(func(f *Flake) { f.IndexOff = -0.5 }), "n by less than a half"},
		{with(func(f *Flake) { f.AbsorbOff = -1.1 }), "k from -1 to 10"},
		{with(func(f *Flake) { f.AbsorbOff = 10 }), "k from -1 to 10"},
		{with(func(f *Flake) { f.CoatPacking = 0.3 }), "above 0.3"},
		{New(Layer{"silica", 5}, Layer{"rutille", 75}), "coat 2: unknown material"},
		{New(Layer{"silica", 5}, Layer{"goethite", 75}), "coat 2: goethite is not a material for coats"},
		{New(Layer{"silica", 5}, Layer{"rutile", -1}), "coat 2, rutile: thickness -1 nm"},
		{New(Layer{"silica", 1001}, Layer{"rutile", 1000}), "add up to 2001 nm"},
	} {
		if _, err := c.f.Optics(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: error %v, want one that says %q", c.f, err, c.want)
		}
	}
	for _, c := range []struct{ text, want string }{
		{"rutile:1+rutile", `layer 2 "rutile": want`},
		{"rutile:1+gold:2", "layer 2: unknown material"},
		{"rutile:1+goethite:2", "layer 2: goethite is not"},
		{"rutile:1+silica:x", "layer 2, silica: thickness"},
		{"silica:2001", "0 to 2000"},
	} {
		if _, err := ParseLayers(c.text); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%q: error %v, want one that says %q", c.text, err, c.want)
		}
	}
	if l, err := ParseLayers("silica:2000"); err != nil || l[0].ThicknessNM != 2000 {
		t.Errorf("silica:2000: %v, %v", l, err)
	}
}

// make8 is as many coats as there may be.
func make8() (layers []Layer) {
	for range MaxLayers {
		layers = append(layers, Layer{"silica", 10})
	}
	return layers
}

// Constants that are off are off by that share of n and of k, each alone and both.
func TestConstantsOff(t *testing.T) {
	m, err := constants.Find("hematite")
	if err != nil {
		t.Fatal(err)
	}
	for _, off := range [][2]float64{{0.1, 0}, {0, 0.5}, {-0.05, -1}} {
		f := New(Layer{"hematite", 40})
		f.CoatPacking, f.IndexOff, f.AbsorbOff = 1, off[0], off[1]
		p, err := f.prepare()
		if err != nil {
			t.Fatal(err)
		}
		for b, eps := range p.films[0].epsilon {
			was, is := m.Index(colour.WavelengthNM(b)), cmplx.Sqrt(eps)
			near(t, "n", real(is), real(was)*(1+off[0]), 1e-12)
			near(t, "k", imag(is), imag(was)*(1+off[1]), 1e-12)
		}
	}
}

// cos δ and sin δ/δ by the library's complex functions.
func TestCosSinc(t *testing.T) {
	for _, d := range []complex128{1e-9, 9e-4, 9e-4i, 6e-4 + 3e-4i, 2e-3, 2e-3i, 1, 2i, 0.3 + 0.4i, -7 + 2i, 5 - 3i, 30 + 0.01i} {
		c, s := cosSinc(d)
		within := 1e-13
		if cmplx.Abs(d) < 1 { // no rounding of many turns hides a term there
			within = 2e-15
		}
		if !(cmplx.Abs(c/cmplx.Cos(d)-1) < within && cmplx.Abs(s*d/cmplx.Sin(d)-1) < within) {
			t.Errorf("δ %v: cos %v and %v, sin δ/δ %v and %v", d, c, cmplx.Cos(d), s, cmplx.Sin(d)/d)
		}
	}
	if c, s := cosSinc(0); c != 1 || s != 1 {
		t.Errorf("δ 0: %v, %v", c, s)
	}
}

// The harmonics of the substrate, added up one by one as they are defined.
func TestFringeSeries(t *testing.T) {
	for _, fade := range []float64{1, 0.999, 0.9, 0.3, 1e-5} {
		f := fringe{cmplx.Exp(complex(0, 0.7)), fade}
		for _, q := range []complex128{0, 0.2, 0.3 - 0.6i} {
			var want complex128
			for m := 1.0; m < 400; m++ {
				want += cmplx.Pow(q, complex(m-1, 0)) * cmplx.Pow(f.z, complex(m, 0)) * complex(math.Pow(fade, m*m), 0)
			}
			if got := f.series(q); !(cmplx.Abs(got-want) < 1e-13) {
				t.Errorf("q %v, fade %g: %v, want %v", q, fade, got, want)
			}
		}
	}
}

// Nodes go with the fringes that pass between straight on and the edge of the
// escape cone: each film's 4π d (n − n cos θ)/λ, by Snell's law, at the wavelength
// where they are most, over both faces and, while its spread lets any be seen, the
// mica; one node for every two radians.
func TestTurns(t *testing.T) {
	const binder = 1.47
	silica, err := constants.Find("silica")
	if err != nil {
		t.Fatal(err)
	}
	pass := func(n, d, nm float64) float64 {
		return 4 * math.Pi * d * n * (1 - math.Cos(math.Asin(1/n))) / nm
	}
	for _, c := range []struct {
		coat, mica, spread float64
		from               int // the first band in which the mica is seen
	}{
		{900, 400, 0, 0}, {100, 3000, 150, 25}, {900, 3000, 200, colour.Bands}, {0, 3000, 0, 0},
	} {
		f := Flake{Coats: []Layer{{"silica", c.coat}}, SubstrateNM: c.mica, SubstrateSpreadNM: c.spread, Binder: binder}
		p, err := f.prepare()
		if err != nil {
			t.Fatal(err)
		}
		most := 0.0
		for b := range colour.Bands {
			nm := colour.WavelengthNM(b)
			phase := 2 * pass(real(silica.Index(nm)), c.coat, nm)
			if b >= c.from {
				phase += pass(constants.MuscoviteIndex, c.mica, nm)
			}
			most = max(most, phase)
		}
		if got, want := p.turns(1/(binder*binder)), int(math.Ceil(most/2)); got != want {
			t.Errorf("%+v: %d nodes, want %d", c, got, want)
		}
	}
}

// The phase that a clear film's fringe has is 4π n d/λ, and thickness factors are
// taken finer where it is more.
func TestFringePhase(t *testing.T) {
	var phase [colour.Bands]float64
	f := film{thickness: 300}
	for b := range f.epsilon {
		f.epsilon[b] = complex(2.5*2.5, 0)
	}
	addFringe(&phase, &f)
	for b, got := range phase {
		near(t, "fringe", got, 4*math.Pi*2.5*300/colour.WavelengthNM(b), 1e-12)
	}
	if t.Failed() {
		return // before a wrong phase asks for a rule without end
	}
	thick := New(Layer{"rutile", 1200})
	p, err := thick.prepare()
	if err != nil {
		t.Fatal(err)
	}
	if blue, red := len(p.scales[0].node), len(p.scales[colour.Bands-1].node); red >= blue {
		t.Errorf("%d thicknesses at 380 nm and %d at 730", blue, red)
	}
}

// A metal in a binder, whose real part is below 0: still no root that amplifies.
func TestBruggemanMetal(t *testing.T) {
	one, two := complex(-10, 1.5), complex(2.16, 0)
	for _, share := range []float64{0.31, 0.5, 0.9, 0.99} {
		m := bruggeman(one, two, share)
		left := complex(share, 0)*(one-m)/(one+2*m) + complex(1-share, 0)*(two-m)/(two+2*m)
		if !(cmplx.Abs(left) < 1e-13 && imag(m) >= 0) {
			t.Errorf("%g of a metal: %v leaves %v", share, m, left)
		}
	}
}
