package film

import (
	"math"
	"testing"

	"tawny/blend/flake"
	"tawny/colour"
	"tawny/colour/skin"
)

// onSkin returns the change of L*, a*, b* that flakes of areal mass m (mg/cm²)
// make on a skin.
func onSkin(t *testing.T, k, s colour.Spectrum, m float64, bare colour.Spectrum, surface Surface, beam bool) colour.Lab {
	t.Helper()
	f := Film{}
	var err error
	if f.Rg, err = surface.BelowAll(&bare); err != nil {
		t.Fatal(err)
	}
	for j := range k {
		f.K[j], f.S[j] = m*k[j], m*s[j]
		if beam {
			f.Sf[j] = f.S[j]
		}
	}
	r := surface.Reading(&f)
	a, b := colour.D65.Lab(&bare), colour.D65.Lab(&r)
	return colour.Lab{L: b.L - a.L, A: b.A - a.A, B: b.B - a.B}
}

// The design's bracketing figures (its section 6): ΔL*, Δa*, Δb* at 0.1 mg/cm²
// with light at 30° in the binder, 400 ± 100 nm mica, no coat spread, gloss
// included, from no beam at all to a beam without tilt. Within 0.5, on the
// skin spectra of this project's own model.
func TestShimmerBrackets(t *testing.T) {
	for _, row := range []struct {
		name         string
		coat         flake.Layer
		skin         string
		without, all colour.Lab
	}{
		{"gold on L* 65", flake.Layer{Material: "rutile", ThicknessNM: 75}, "lab:65.0,10.7,13.6", colour.Lab{L: 2.4, A: -2.4, B: 2.2}, colour.Lab{L: 6.1, A: -4.9, B: 5.0}},
		{"bronze on L* 65", flake.Layer{Material: "hematite", ThicknessNM: 42}, "lab:65.0,10.7,13.6", colour.Lab{L: -8.8, A: 6.6, B: 5.8}, colour.Lab{L: -2.9, A: 4.0, B: 5.3}},
		{"bronze on L* 49", flake.Layer{Material: "hematite", ThicknessNM: 42}, "lab:49.3,11.3,20.4", colour.Lab{L: -0.5, A: 2.4, B: -1.9}, colour.Lab{L: 7.2, A: 0.4, B: -2.2}},
	} {
		f := flake.New(row.coat)
		f.CoatSpread = 0
		r, _, a, err := f.At(30)
		if err != nil {
			t.Fatal(err)
		}
		area, err := f.FaceArea()
		if err != nil {
			t.Fatal(err)
		}
		var k, s colour.Spectrum
		for j := range k {
			k[j], s[j] = area*a[j], area*r[j]
		}
		bare, err := skin.Parse(row.skin)
		if err != nil {
			t.Fatal(err)
		}
		surface, err := NewSurface(DefaultIndex, Normal, 1, Tilt{})
		if err != nil {
			t.Fatal(err)
		}
		for _, end := range []struct {
			beam bool
			want colour.Lab
		}{{false, row.without}, {true, row.all}} {
			got := onSkin(t, k, s, 0.1, bare.Reflectance, surface, end.beam)
			t.Logf("%s, beam %v: ΔL* %+.2f Δa* %+.2f Δb* %+.2f", row.name, end.beam, got.L, got.A, got.B)
			for _, d := range []float64{got.L - end.want.L, got.A - end.want.A, got.B - end.want.B} {
				if math.Abs(d) > 0.5 {
					t.Errorf("%s, beam %v: (%+.2f, %+.2f, %+.2f), design (%+.1f, %+.1f, %+.1f)", row.name, end.beam, got.L, got.A, got.B, end.want.L, end.want.A, end.want.B)
					break
				}
			}
		}
	}
}

// What makers say (common practice): gold reads yellow, on every skin; bronze
// darkens and enriches light skin and turns to a glow as skin deepens.
func TestShimmerDirections(t *testing.T) {
	const m = 0.1 // mg/cm²
	surface, err := NewSurface(DefaultIndex, Normal, 1, Tilt{SigmaDeg: TiltFor(1)})
	if err != nil {
		t.Fatal(err)
	}
	optics := func(material string, nm float64) flake.Optics {
		o, err := flake.New(flake.Layer{Material: material, ThicknessNM: nm}).Optics()
		if err != nil {
			t.Fatal(err)
		}
		return o
	}
	gold, bronze := optics("rutile", 75), optics("hematite", 42)
	last := math.Inf(-1)
	for _, s := range skin.Presets() { // lightest first
		g := onSkin(t, gold.K, gold.S, m, s.Reflectance, surface, true)
		b := onSkin(t, bronze.K, bronze.S, m, s.Reflectance, surface, true)
		t.Logf("%-12s L* %.1f: gold (%+.1f, %+.1f, %+.1f), bronze (%+.1f, %+.1f, %+.1f)", s.Name, s.Lab.L, g.L, g.A, g.B, b.L, b.A, b.B)
		if g.B <= 0 {
			t.Errorf("%s: gold changes b* by %+.2f, want a rise", s.Name, g.B)
		}
		if s.Lab.L > 62 {
			worn := colour.Lab{L: s.Lab.L + b.L, A: s.Lab.A + b.A, B: s.Lab.B + b.B}
			if b.L >= 0 || worn.Chroma() <= s.Lab.Chroma() {
				t.Errorf("%s: bronze changes L* by %+.2f and C* by %+.2f, want darker and stronger", s.Name, b.L, worn.Chroma()-s.Lab.Chroma())
			}
		}
		if b.L <= last {
			t.Errorf("%s: bronze changes L* by %+.2f, no more than on the lighter skin before (%+.2f)", s.Name, b.L, last)
		}
		last = b.L
	}
}

// Nothing applied is bare skin, to the bit; and for one powder the film's
// reflectance nears that of a deep layer with areal mass, in every band.
func TestFilmNearsTheJar(t *testing.T) {
	p := drawer(t)
	for _, s := range skin.Presets() {
		look, err := Predict(Worn{Ground: Ground{Reflectance: s.Reflectance}, Parts: []Part{{Pigment: p.Pigments[9], Percent: 4}}})
		if err != nil {
			t.Fatal(err)
		}
		if look.Reflectance != s.Reflectance {
			t.Errorf("%s: nothing applied changes the skin", s.Name)
		}
		for _, g := range p.Pigments {
			for j := range s.Reflectance {
				deep := Infinite(g.Optics.K[j], g.Optics.S[j])
				before := math.Inf(1)
				for m := 0.0; m < 3; m += 0.15 {
					ri, _, _ := Reflect(m*g.Optics.K[j], m*g.Optics.S[j], s.Reflectance[j])
					d := math.Abs(ri - deep)
					if d > before+1e-12 {
						t.Fatalf("%s on %s at %g nm: |R − R∞| rises to %.6f from %.6f at %.2f mg/cm²", g.Name, s.Name, colour.WavelengthNM(j), d, before, m)
					}
					before = d
				}
			}
		}
	}
}
