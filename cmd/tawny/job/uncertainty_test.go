package job

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"

	"tawny/blend/book"
	"tawny/blend/doubt"
	"tawny/blend/film"
	"tawny/colour"
)

// worn is the uncertainty of one stated blend.
func worn(t testing.TB, in Input, parts ...string) *doubt.Spread {
	t.Helper()
	in.Parts = parts
	r, err := blendOf(in)
	if err != nil {
		t.Fatal(err)
	}
	return r.Blend.Uncertainty
}

func cause(u *doubt.Spread, name string) *doubt.Cause {
	for i := range u.Causes {
		if u.Causes[i].Name == name {
			return &u.Causes[i]
		}
	}
	return nil
}

// The reading's part is what its repeatability says: with next to no film on
// it, a reading that repeats to ΔE00 0.5 on average lies within the 95 % point
// of Maxwell's distribution of that mean, 2.7955/1.5958 times 0.5.
func TestUncertaintyOfReading(t *testing.T) {
	for _, skin := range []string{"lab:64.1,11.3,14.4", "lab:40.2,12.4,15.9", "lab:64.1,11.3,14.4@A/10", "#8d5b3f"} {
		u := worn(t, Input{Skin: skin, Repeat: 0.5, Apply: "0.01"}, "pale gold=0.01")
		got := cause(u, "reading")
		if got == nil || math.Abs(got.DeltaE95-0.5*2.79548/1.59577) > 0.03 && !strings.Contains(skin, "@") {
			t.Errorf("%s: %+v", skin, u.Causes)
		}
		t.Logf("%s: %.3f of %.3f", skin, got.DeltaE95, 0.5*2.79548/1.59577)
	}
	// A preset is no reading; repeats in a file count as they lie.
	if u := worn(t, Input{Skin: "tan"}, "bronze=2"); cause(u, "reading") != nil {
		t.Errorf("a preset was given a repeatability: %+v", u.Causes)
	}
	u := worn(t, Input{Skin: skinDemo + "#forearm"}, "bronze=2")
	if c := cause(u, "reading"); c == nil || !strings.Contains(c.Taken, "lie apart") {
		t.Errorf("repeats in a file: %+v", u.Causes)
	}
}

// A measured powder is surer than the same powder modelled, and says by what.
func TestUncertaintyOfPowder(t *testing.T) {
	dir := t.TempDir()
	file, palette := filepath.Join(dir, "d.csv"), filepath.Join(dir, "drawer.csv")
	drawing{powder: powderOf(t, "bronze"), like: "bronze", loads: []float64{0.05, 0.1, 0.2}, massOff: 0.02, sigma: 0.2, seed: 1}.write(t, file)
	if _, err := Fit(desk, FitInput{File: file, Add: true, Drawer: palette}); err != nil {
		t.Fatal(err)
	}
	in := Input{Skin: "light"}
	modelled := worn(t, in, "bronze=2")
	in.Drawer = palette
	measured := worn(t, in, "tested=2")
	a, b := cause(modelled, "bronze"), cause(measured, "tested")
	if a == nil || b == nil || b.DeltaE95 > 0.8*a.DeltaE95 || !strings.Contains(b.Taken, "drawdowns") || measured.DeltaE95 >= modelled.DeltaE95 {
		t.Fatalf("modelled %+v, measured %+v", a, b)
	}
	t.Logf("bronze 2 %% on light skin: 95 %% ΔE00 %.2f modelled, %.2f measured", modelled.DeltaE95, measured.DeltaE95)
}

// A measured powder of another lot carries the spread from lot to lot, until the
// book says how that lot compares.
func TestUncertaintyOfAnotherLot(t *testing.T) {
	dir := t.TempDir()
	file, palette := filepath.Join(dir, "d.csv"), filepath.Join(dir, "drawer.csv")
	drawing{powder: powderOf(t, "bronze"), like: "bronze", keys: []string{"lot: F-1"}, loads: []float64{0.05, 0.1, 0.2}, sigma: 0.2, seed: 1}.write(t, file)
	if _, err := Fit(desk, FitInput{File: file, Add: true, Drawer: palette}); err != nil {
		t.Fatal(err)
	}
	s, parts, err := Input{Skin: "light", Drawer: palette, Parts: []string{"tested=2"}, env: desk}.openBlend()
	if err != nil {
		t.Fatal(err)
	}
	of := func(lot string) *doubt.Cause {
		t.Helper()
		parts[0].Pigment = withLot(parts[0].Pigment, lot)
		u, err := s.uncertainty(s.worn(parts, s.apply, s.tilt))
		if err != nil {
			t.Fatal(err)
		}
		return cause(u, "tested")
	}
	own, other := of("F-1"), of("F-2")
	if !(other.DeltaE95 > own.DeltaE95) || !strings.Contains(other.Taken, "F-2 was not compared") || strings.Contains(own.Taken, "compared") {
		t.Fatalf("own lot %+v, another %+v", own, other)
	}
	strength := 0.95
	s.doubts.knows(map[string][]book.LotStock{"tested": {{PowderName: "Tested", Lot: "f-2", Strength: &strength}}})
	if known := of("F-2"); known.DeltaE95 != own.DeltaE95 {
		t.Errorf("compared %+v, own lot %+v", known, own)
	}
}

// What is said of application and reading is used.
func TestUncertaintyOfApplication(t *testing.T) {
	little := cause(worn(t, Input{Skin: "light", ApplySpread: 5}, "bronze=3"), "application")
	much := cause(worn(t, Input{Skin: "light", ApplySpread: 40}, "bronze=3"), "application")
	if r := much.DeltaE95 / little.DeltaE95; r < 6 || r > 10 {
		t.Errorf("eight times the spread: %g times the part", r)
	}
}

// What a measured powder is said to be off by covers what it is: over many
// noisy sets of drawdowns the truth lies within its part of the 95 % ΔE00, on
// light skin and on deep. It is on the wide side here, where K and S explain the
// films and the residual is only the readings' noise: the residual is taken
// whole, since what K and S fail to explain of a film they will not explain on
// skin.
func TestUncertaintyOfMeasuredPowderCovers(t *testing.T) {
	dir := t.TempDir()
	inside, n, said, was := 0, 0, 0.0, 0.0
	for _, name := range []string{"pale gold", "bronze", "red oxide", "titanium white"} {
		truth := powderOf(t, name)
		loads, percent := []float64{0.05, 0.1, 0.2}, 2.0
		if !truth.Flake {
			loads, percent = []float64{0.01, 0.02, 0.04}, 0.3
		}
		for seed := range 6 {
			file, palette := filepath.Join(dir, "d.csv"), filepath.Join(dir, fmt.Sprintf("%s-%d.csv", Slug(name, "powder"), seed))
			drawing{powder: truth, like: name, loads: loads, massOff: 0.03, sigma: 0.3, seed: uint64(100 + seed)}.write(t, file)
			if _, err := Fit(desk, FitInput{File: file, Add: true, Drawer: palette}); err != nil {
				t.Fatal(err)
			}
			for _, k := range []string{"light", "brown"} {
				s, err := Input{Skin: k, Drawer: palette, env: desk}.open()
				if err != nil {
					t.Fatal(err)
				}
				if err := s.openDrawer(); err != nil {
					t.Fatal(err)
				}
				parts, err := s.parts([]string{fmt.Sprintf("tested=%g", percent)})
				if err != nil {
					t.Fatal(err)
				}
				v, err := s.lookView(parts, nil)
				if err != nil {
					t.Fatal(err)
				}
				real := *parts[0].Pigment
				real.Optics.K, real.Optics.S = truth.K, truth.S
				look, err := film.Predict(s.worn([]film.Part{{Pigment: &real, Percent: percent}}, s.apply, s.tilt))
				if err != nil {
					t.Fatal(err)
				}
				off, c := colour.DeltaE00(v.Lab, look.Lab), cause(v.Uncertainty, "tested")
				if off <= c.DeltaE95 {
					inside++
				}
				n, said, was = n+1, said+c.DeltaE95, was+off
			}
		}
	}
	share := float64(inside) / float64(n)
	t.Logf("within its 95 %% ΔE00 in %.0f of 100 (%d); said %.2f, off by %.2f on average", 100*share, n, said/float64(n), was/float64(n))
	if share < 0.88 {
		t.Errorf("within in only %.0f of 100", 100*share)
	}
}

// What the surface shares of the flakes' tilt is as stated, within bounds that
// are told, and lifts what is seen near the mirror.
func TestSurfaceTilt(t *testing.T) {
	gleam := func(deg float64) float64 {
		r, err := blendOf(Input{Skin: "dark", Apply: "sheer", SurfaceTilt: deg, Parts: []string{"pale gold=3"}})
		if err != nil {
			t.Fatal(err)
		}
		if r.Conditions.SurfaceTilt != deg {
			t.Errorf("%g° is told as %g°", deg, r.Conditions.SurfaceTilt)
		}
		return r.Blend.Angles[0].Lab.L - r.Blend.Angles[1].Lab.L
	}
	if flat, tilted := gleam(0), gleam(4); tilted < flat+10 {
		t.Errorf("L* from 45° to 15°: %+.1f flat, %+.1f tilted by 4°", flat, tilted)
	}
	_, err := blendOf(Input{Skin: "dark", Apply: "full", SurfaceTilt: 5, Parts: []string{"pale gold=3"}})
	if err == nil || !strings.Contains(err.Error(), "0 to 4.8°") {
		t.Errorf("5° over flakes of 6°: %v", err)
	}
}
