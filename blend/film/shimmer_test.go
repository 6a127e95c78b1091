package film

import (
	"math"
	"testing"

	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/skin"
)

// What makers say (common practice): gold reads yellow, on every skin; bronze
// darkens and enriches light skin and turns to a glow as skin deepens.
func TestShimmerDirections(t *testing.T) {
	const m = 0.1 // mg/cm²
	powders := &palette.Drawer{}
	for _, coat := range []flake.Layer{{Material: "rutile", ThicknessNM: 75}, {Material: "hematite", ThicknessNM: 42}} {
		powders.Pigments = append(powders.Pigments, &palette.Pigment{Name: coat.Material, Layers: []flake.Layer{coat}, Substrate: flake.DefaultSubstrateNM})
	}
	if err := powders.ComputeOptics(DefaultIndex); err != nil {
		t.Fatal(err)
	}
	last := math.Inf(-1)
	for _, s := range skin.Presets() { // lightest first
		change := func(p *palette.Pigment) colour.Lab {
			r, err := Diffuse(Worn{Ground: Ground{Reflectance: s.Reflectance}, Apply: 1, Parts: []Part{{Pigment: p, Percent: 100 * m}}})
			if err != nil {
				t.Fatal(err)
			}
			l := colour.D65.Lab(&r)
			return colour.Lab{L: l.L - s.Lab.L, A: l.A - s.Lab.A, B: l.B - s.Lab.B}
		}
		g, b := change(powders.Pigments[0]), change(powders.Pigments[1])
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

// Nothing applied is bare skin, to the bit in the geometry it was read in, and in
// every other what its ground reads there, whatever the film would have been.
func TestNothingApplied(t *testing.T) {
	p := drawer(t)
	f := mustFilm(t, Lay{Index: DefaultIndex})
	for _, s := range skin.Presets() {
		for _, g := range colour.Geometries {
			w := Worn{Ground: Ground{Reflectance: s.Reflectance, Geometry: g}, Parts: []Part{{Pigment: p.Pigments[9], Percent: 4}}, SurfaceShare: 0.5}
			look, err := Predict(w)
			if err != nil {
				t.Fatal(err)
			}
			if look.Reflectance != s.Reflectance {
				t.Errorf("%s, %s: nothing applied changes the skin", s.Name, g)
			}
			under, err := f.Ground(g, &s.Reflectance)
			if err != nil {
				t.Fatal(err)
			}
			for _, other := range colour.Geometries {
				w.Geometry = other
				got, err := Diffuse(w)
				if err != nil {
					t.Fatal(err)
				}
				want, err := f.Bare(other, &under)
				if err != nil {
					t.Fatal(err)
				}
				if d := colour.RMS(&got, &want); d > 1e-15 {
					t.Errorf("%s read %s: in %s off by %.1e", s.Name, g, other, d)
				}
				if at := look.Angles[1].Reflectance; other == colour.At45 && colour.RMS(&got, &at) > 1e-14 {
					t.Errorf("%s read %s: another at 45° than in 45", s.Name, g)
				}
			}
		}
	}
}

// What a surface that tilts with its flakes does, as MODEL tells it: little to a
// sphere with gloss, a light of its own by the mirror.
func TestTiltingSurfaceShows(t *testing.T) {
	gold, err := drawer(t).Find("pale gold")
	if err != nil {
		t.Fatal(err)
	}
	presets := skin.Presets()
	dark := presets[len(presets)-1]
	at := func(share float64, g colour.Geometry) (sphere, mirror float64) {
		w := Worn{Ground: Ground{Reflectance: dark.Reflectance}, Geometry: g, Apply: Coverages[0].MgPerCM2, SurfaceShare: share,
			Parts: []Part{{Pigment: gold, Percent: 5}}}
		look, err := Predict(w)
		if err != nil {
			t.Fatal(err)
		}
		return colour.D65.Lab(&look.Reflectance).L, look.Angles[0].Lab.L
	}
	four := 4 / TiltFor(Coverages[0].MgPerCM2)
	flat, from := at(0, colour.DI)
	_, to := at(four, colour.DI)
	without, _ := at(0, colour.DE)
	lifted, _ := at(four, colour.DE)
	most := 0.0
	for _, share := range []float64{four, 0.5, MostSurfaceShare} {
		tilted, _ := at(share, colour.DI)
		most = max(most, math.Abs(tilted-flat))
	}
	t.Logf("with gloss moved by L* %.2f at most; at 15° L* %.1f to %.1f; without gloss by %.1f", most, from, to, lifted-without)
	if math.Abs(most-1.1) > 0.1 || math.Abs(from-42) > 1 || math.Abs(to-70) > 1 || math.Abs(lifted-without-3.5) > 0.3 {
		t.Error("not what MODEL tells")
	}
}
