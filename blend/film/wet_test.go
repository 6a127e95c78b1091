package film

import (
	"testing"

	"tawny/blend/palette"
	"tawny/colour"
)

// A lotion without powder is white in the jar and clear on the skin once dry
// (common practice); with powder the jar is paler than the dried film in depth.
func TestWetLotionIsWhite(t *testing.T) {
	wet, err := WetLotion(0.2, DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	plain, err := InTheJar(Worn{Base: wet})
	if err != nil {
		t.Fatal(err)
	}
	if c := colour.D65.Lab(&plain); c.L < 95 || c.Chroma() > 3 {
		t.Errorf("plain lotion in the jar is %v, want white", c)
	}
	p := drawer(t)
	bronze, err := p.Find("bronze")
	if err != nil {
		t.Fatal(err)
	}
	parts := []Part{{Pigment: bronze, Percent: 4}}
	wetJar, err := InTheJar(Worn{Parts: parts, Base: wet})
	if err != nil {
		t.Fatal(err)
	}
	dry, err := InTheJar(Worn{Parts: parts})
	if err != nil {
		t.Fatal(err)
	}
	a, b := colour.D65.Lab(&wetJar), colour.D65.Lab(&dry)
	t.Logf("4 %% bronze: wet in the jar %v, dry in depth %v", a, b)
	if a.L <= b.L || a.Chroma()/a.L >= b.Chroma()/b.L { // lighter, and less saturated (CIE 1976 in L*a*b*)
		t.Errorf("wet %v is not paler than dry %v", a, b)
	}
	if _, err := WetLotion(0.9, 1.47); err == nil {
		t.Error("an oil share of 0.9 was accepted")
	}
}

// In a wet jar powders lie in water: they look as those of a drawer made ready for
// water do, stronger or weaker ones too, and not as they would in oil. A film of one
// index takes no powder made ready for another.
func TestWetJarIsWater(t *testing.T) {
	wet, err := WetLotion(0.2, DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	inWater, err := palette.Builtin(wet.Index)
	if err != nil {
		t.Fatal(err)
	}
	jar := func(g *palette.Pigment, strength float64) colour.Lab {
		r, err := InTheJar(Worn{Parts: []Part{{Pigment: g.AtStrength(strength), Percent: 3}}, Base: wet})
		if err != nil {
			t.Fatal(err)
		}
		return colour.D65.Lab(&r)
	}
	worst, of := 0.0, ""
	for i, g := range drawer(t).Pigments {
		for _, strength := range []float64{1, 0.7} {
			if d := colour.DeltaE00(jar(g, strength), jar(inWater.Pigments[i], strength)); d > 1e-4 {
				t.Errorf("%s × %g: ΔE00 %.2g from the same powder made ready for water", g.Name, strength, d)
			}
		}
		dry := *g // its optics taken to hold in any binder
		dry.Optics.Coat.Binder, dry.Optics.Grain.Binder = 0, 0
		if d := colour.DeltaE00(jar(g, 1), jar(&dry, 1)); d > worst {
			worst, of = d, g.Name
		}
	}
	t.Logf("in water for oil: ΔE00 %.2f at most, %s", worst, of)
	if worst < 0.5 {
		t.Errorf("water is like oil to all of them: ΔE00 %.2f at most", worst)
	}
	if _, err := Diffuse(Worn{Ground: Ground{Reflectance: colour.Constant(0.3)}, Apply: 1, Parts: []Part{{Pigment: inWater.Pigments[0], Percent: 3}}}); err == nil {
		t.Error("a film of 1.47 took a powder made ready for water")
	}
}

// Clear flakes have their colour in the jar too, and a silver one is as light
// as white pearl powders measure: L* 90 to 96 (from memory).
func TestJarOfClearFlakes(t *testing.T) {
	p := drawer(t)
	jar := func(name string) colour.Lab {
		g, err := p.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		r, err := InTheJar(Worn{Parts: []Part{{Pigment: g, Percent: 3}}})
		if err != nil {
			t.Fatal(err)
		}
		return colour.D65.Lab(&r)
	}
	silver, gold, blue := jar("silver white"), jar("bright gold"), jar("blue gleam")
	t.Logf("silver %v, gold %v, blue %v", silver, gold, blue)
	if silver.L < 90 || silver.L > 96 || silver.Chroma() > 3 {
		t.Errorf("silver in the jar is %v", silver)
	}
	if gold.B < 3 {
		t.Errorf("gold in the jar is %v, not yellow", gold)
	}
	if blue.B > -2 {
		t.Errorf("blue in the jar is %v, not blue", blue)
	}
}
