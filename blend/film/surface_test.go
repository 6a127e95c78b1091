package film

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tawny/colour"
)

// Duntley's closed form, by testdata/film/make.py; Judd (1942) prints 0.0918
// outside and 0.596 inside for index 1.5.
func TestDiffuseFresnel(t *testing.T) {
	for _, v := range readTable(t, "../../testdata/film/fresnel.csv") {
		// Near index 1 the integrand bends sharply at the horizon.
		tol := 1e-14
		if v[0] < 1.2 {
			tol = 1e-6
		}
		if got := DiffuseFresnel(v[0]); math.Abs(got-v[1]) > tol {
			t.Errorf("index %g: %.17g, want %.17g", v[0], got, v[1])
		}
	}
	s, err := NewSurface(1.5, FromRound, 1, Tilt{})
	if err != nil || math.Abs(s.K1-0.0918) > 5e-5 || math.Abs(s.K2-0.596) > 5e-4 {
		t.Errorf("index 1.5: %+v %v, want k1 0.0918, k2 0.596", s, err)
	}
	if DiffuseFresnel(1) != 0 {
		t.Errorf("no boundary reflects %g", DiffuseFresnel(1))
	}
}

// Figures for index 1.47, and Fresnel's limits: ((n−1)/(n+1))² at 0°, and
// half of the s part alone at Brewster's angle.
func TestFresnel(t *testing.T) {
	for _, c := range []struct {
		entry Entry
		k1    float64
	}{{Normal, 0.036}, {At45, 0.046}, {FromRound, 0.087}} {
		s, err := NewSurface(DefaultIndex, c.entry, 1, Tilt{})
		if err != nil || math.Round(s.K1*1000)/1000 != c.k1 || math.Round(s.K2*1000)/1000 != 0.578 {
			t.Errorf("%+v: k1 %.4f k2 %.4f %v, want %g and 0.578", c.entry, s.K1, s.K2, err, c.k1)
		}
	}
	n := 1.5
	if got := Fresnel(n, 1); math.Abs(got-0.04) > 1e-15 {
		t.Errorf("index 1.5 at 0°: %v, want 0.04", got)
	}
	brewster := math.Atan(n)
	sPart := math.Pow((1-n*n)/(1+n*n), 2)
	if got := Fresnel(n, math.Cos(brewster)); math.Abs(got-sPart/2) > 1e-15 {
		t.Errorf("at Brewster's angle: %v, want %v", got, sPart/2)
	}
	if got := Fresnel(n, 0); got != 1 {
		t.Errorf("at the horizon: %v", got)
	}
}

// Saunderson's correction and back, specular included and excluded.
func TestSaundersonRoundTrip(t *testing.T) {
	for _, included := range []float64{0, 1} {
		s, err := NewSurface(DefaultIndex, Normal, included, Tilt{10})
		if err != nil {
			t.Fatal(err)
		}
		rapid.Check(t, func(t *rapid.T) {
			rg := rapid.Float64Range(1e-6, 1).Draw(t, "rg")
			rm := s.Above(rg, 0)
			// Saunderson 1942, written out.
			want := included*s.K1 + (1-s.K1)*(1-s.K2)*rg/(1-s.K2*rg)
			if math.Abs(rm-want) > 1e-15 {
				t.Fatalf("above %v: %v, want %v", rg, rm, want)
			}
			back, err := s.Below(rm)
			if err != nil || math.Abs(back-rg) > 1e-15 {
				t.Fatalf("%v came back as %v, %v", rg, back, err)
			}
		})
		if white, err := s.Below(s.Above(1, 0)); err != nil || math.Abs(white-1) > 1e-15 {
			t.Errorf("perfect white comes back as %v, %v", white, err)
		}
	}
}

// Bare skin through the whole calculation with no powder: the reading comes
// back to 1e-15, not to the bit, since it is corrected down and up again.
func TestNoPowderIsBareSkin(t *testing.T) {
	s, err := NewSurface(DefaultIndex, Normal, 1, Tilt{10})
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		rm := rapid.Float64Range(0.037, 1).Draw(t, "reading")
		rg, err := s.Below(rm)
		if err != nil {
			t.Fatal(err)
		}
		if r, _, _, _ := s.Band(0, 0, 0, rg); math.Abs(r-rm) > 1e-15 {
			t.Fatalf("skin %v with nothing on it reads %v", rm, r)
		}
	})
}

func TestBelowRefuses(t *testing.T) {
	s, err := NewSurface(DefaultIndex, Normal, 1, Tilt{})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		rm   float64
		want error
	}{{s.K1, ErrDark}, {0, ErrDark}, {-1, ErrDark}, {math.NaN(), ErrDark}, {1.01, ErrBright}, {math.Inf(1), ErrBright}} {
		if g, err := s.Below(c.rm); !errors.Is(err, c.want) {
			t.Errorf("%g: %v %v, want %v", c.rm, g, err, c.want)
		}
	}
	r := colour.Constant(0.3)
	r[7] = 0.01
	_, err = s.BelowAll(&r)
	if !errors.Is(err, ErrDark) || !strings.Contains(err.Error(), "450 nm") {
		t.Errorf("a dark band: %v", err)
	}
}

func TestSurfaceRefuses(t *testing.T) {
	nan := math.NaN()
	for _, f := range []func() error{
		func() error { _, err := NewSurface(0.9, Normal, 1, Tilt{}); return err },
		func() error { _, err := NewSurface(nan, Normal, 1, Tilt{}); return err },
		func() error { _, err := NewSurface(1.47, Entry{Deg: 90}, 1, Tilt{}); return err },
		func() error { _, err := NewSurface(1.47, Entry{Deg: nan}, 1, Tilt{}); return err },
		func() error { _, err := NewSurface(1.47, Normal, 1.1, Tilt{}); return err },
		func() error { _, err := NewSurface(1.47, Normal, 1, Tilt{-1}); return err },
		func() error { _, err := NewSurface(1.47, Normal, 1, Tilt{41}); return err },
		func() error { _, err := NewView(1.47, Tilt{10}, 135); return err },
		func() error { _, err := NewView(1.47, Tilt{10}, nan); return err },
		func() error { _, err := NewView(1.47, Tilt{}, 0); return err },
		func() error { _, _, err := Tilt{nan}.Escape(1.47, Normal); return err },
		func() error { _, _, err := Tilt{10}.Escape(4, Normal); return err },
		func() error { _, _, err := Tilt{10}.Escape(1.47, Entry{Deg: -1}); return err },
	} {
		if f() == nil {
			t.Error("accepted")
		}
	}
}

// slopes by central differences.
func slope(f func(float64) float64, x float64) float64 {
	h := 1e-6 * max(x, 1e-3)
	return (f(x+h) - f(x-h)) / (2 * h)
}

func TestBandSlopes(t *testing.T) {
	s, err := NewSurface(DefaultIndex, Normal, 1, Tilt{12})
	if err != nil {
		t.Fatal(err)
	}
	v, err := NewView(DefaultIndex, Tilt{12}, 45)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		k := math.Pow(10, rapid.Float64Range(-2.5, 1).Draw(t, "log K"))
		sc := math.Pow(10, rapid.Float64Range(-2.5, 1).Draw(t, "log S"))
		sf := sc * rapid.Float64Range(0, 1).Draw(t, "flakes' part")
		sl := sc * rapid.Float64Range(0, 1).Draw(t, "local")
		rg := rapid.Float64Range(0, 1).Draw(t, "rg")
		_, dk, ds, dsf := s.Band(k, sc, sf, rg)
		hold := func(name string, got, want float64) {
			t.Helper()
			if math.Abs(got-want) > 1e-6*(1+math.Abs(want)) {
				t.Fatalf("%s: %v, by differences %v", name, got, want)
			}
		}
		band := func(k, sc, sf float64) float64 { r, _, _, _ := s.Band(k, sc, sf, rg); return r }
		hold("dK", dk, slope(func(x float64) float64 { return band(x, sc, sf) }, k))
		hold("dS", ds, slope(func(x float64) float64 { return band(k, x, sf) }, sc))
		hold("dSf", dsf, slope(func(x float64) float64 { return band(k, sc, x) }, sf))
		_, ak, as, af, al := v.Band(k, sc, sf, sl, rg)
		view := func(k, sc, sf, sl float64) float64 { r, _, _, _, _ := v.Band(k, sc, sf, sl, rg); return r }
		hold("view dK", ak, slope(func(x float64) float64 { return view(x, sc, sf, sl) }, k))
		hold("view dS", as, slope(func(x float64) float64 { return view(k, x, sf, sl) }, sc))
		hold("view dSf", af, slope(func(x float64) float64 { return view(k, sc, x, sl) }, sf))
		hold("view dSfLocal", al, slope(func(x float64) float64 { return view(k, sc, sf, x) }, sl))
		vs := v.Surface(DefaultIndex)
		one, _, _, _ := vs.Band(k, sc, sf, rg)
		hold("as a surface", one, view(k, sc, sf, sf))
	})
}

// The zero Surface is no boundary.
func TestZeroSurface(t *testing.T) {
	var s Surface
	r, dk, ds, dsf := s.Band(0.2, 0.3, 0.3, 0.4)
	ri, ik, is := Reflect(0.2, 0.3, 0.4)
	if r != ri || dk != ik || ds != is || dsf != 0 {
		t.Errorf("%v %v %v %v, want %v %v %v 0", r, dk, ds, dsf, ri, ik, is)
	}
}

func TestReadEveryBand(t *testing.T) {
	s, err := NewSurface(DefaultIndex, Normal, 1, Tilt{10})
	if err != nil {
		t.Fatal(err)
	}
	var f Film
	for i := range f.K {
		f.K[i], f.S[i], f.Sf[i], f.Rg[i] = 0.01*float64(i), 0.3, 0.2, 0.02*float64(i)
	}
	var r colour.Spectrum
	var d Slopes
	s.Read(&f, &r, &d)
	if once := s.Reading(&f); once != r {
		t.Errorf("Reading and Read differ")
	}
	for i := range r {
		a, b, c, e := s.Band(f.K[i], f.S[i], f.Sf[i], f.Rg[i])
		if a != r[i] || b != d.K[i] || c != d.S[i] || e != d.Sf[i] {
			t.Fatalf("band %d differs", i)
		}
	}
	jar := s.InTheJar(&f)
	if want := s.Above(Infinite(f.K[9], f.S[9]), 0); jar[9] != want {
		t.Errorf("in the jar %v, want %v", jar[9], want)
	}
	if n := testing.AllocsPerRun(100, func() { s.Read(&f, &r, &d) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

var sink float64

func BenchmarkBand(b *testing.B) {
	b.ReportAllocs()
	s, err := NewSurface(DefaultIndex, Normal, 1, Tilt{10})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		r, dk, ds, dsf := s.Band(0.07, 0.4, 0.3, 0.35)
		sink += r + dk + ds + dsf
	}
}

func BenchmarkRead36(b *testing.B) {
	b.ReportAllocs()
	s, err := NewSurface(DefaultIndex, Normal, 1, Tilt{10})
	if err != nil {
		b.Fatal(err)
	}
	f := Film{K: colour.Constant(0.07), S: colour.Constant(0.4), Sf: colour.Constant(0.3), Rg: colour.Constant(0.35)}
	var r colour.Spectrum
	var d Slopes
	for b.Loop() {
		s.Read(&f, &r, &d)
	}
}

func BenchmarkNewSurface(b *testing.B) {
	for b.Loop() {
		if _, err := newSurface(DefaultIndex, Normal, 1, Tilt{10}); err != nil {
			b.Fatal(err)
		}
	}
}
