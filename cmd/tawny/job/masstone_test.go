package job

import (
	"math"
	"testing"

	"tawny/colour"
)

// Ordinary pigments against measured opaque films, quoted from published tables of
// artists' paint films (D65/2°): red and yellow acrylic drawdowns read with gloss,
// green read without, blue an oil paint read without. A few units between makers
// and grades are normal: within ΔE00 4, and within 10° of hue.
func TestMasstones(t *testing.T) {
	for _, c := range []struct {
		powder   string
		geometry colour.Geometry
		want     colour.Lab
	}{
		{"red oxide", colour.DI, colour.Lab{L: 39.7, A: 30.1, B: 23.2}},
		{"yellow oxide", colour.DI, colour.Lab{L: 63.9, A: 10.6, B: 47.4}},
		{"chromia green", colour.DE, colour.Lab{L: 39.0, A: -19.8, B: 18.9}},
		{"ultramarine blue", colour.DE, colour.Lab{L: 4.8, A: 24.9, B: -37.9}},
	} {
		v := inFull(t, c.powder)
		got := v.Masstone.DI
		if c.geometry == colour.DE {
			got = v.Masstone.DE
		}
		e, turn := colour.DeltaE00(got, c.want), colour.HueTurn(c.want.LCh().H, got.LCh().H)
		t.Logf("%s: L* %.1f a* %.1f b* %.1f, ΔE00 %.1f, hue %+.0f°", c.powder, got.L, got.A, got.B, e, turn)
		if e > 4 || math.Abs(turn) > 10 {
			t.Errorf("%s: ΔE00 %.1f, hue %+.1f° from the measured film", c.powder, e, turn)
		}
		if len(v.Constants) != 1 || v.Constants[0].HeldTo == "" {
			t.Errorf("%s does not say what it was held to: %+v", c.powder, v.Constants)
		}
	}
	// As it is rubbed in, titania scatters between two measurements: 2.9 cm²/mg at
	// 550 nm in epoxy (A. B. Walter et al., J. Biomed. Opt. 28:025002, 2023), which its
	// own model makes 1.12 times as much under the lower index here, and 1.2 to 1.5
	// times that in a binder not told.
	if s := inFull(t, "titanium white").S[17]; s < 1.12*2.9 || s > 1.5*2.9 {
		t.Errorf("titania: S %.2f cm²/mg at 550 nm", s)
	}
	// Ultramarine over white is a blue glaze, as painters know it.
	if h := inFull(t, "ultramarine blue").OnWhite.Lab.LCh(); h.C < 20 || h.H < 265 || h.H > 310 {
		t.Errorf("ultramarine over white: C* %.0f, hue %.0f°", h.C, h.H)
	}
	if v := inFull(t, "bronze"); v.Masstone != nil || len(v.Constants) != 1 || v.Constants[0].Name != "hematite" || v.Lobe == "" {
		t.Errorf("bronze: masstone %v, constants %+v", v.Masstone, v.Constants)
	}
}

// inFull is a powder of the built-in drawer in full.
func inFull(t *testing.T, name string) PowderView {
	t.Helper()
	in, err := (&Input{}).ready(desk)
	if err != nil {
		t.Fatal(err)
	}
	v, err := in.drawer([]string{name})
	if err != nil {
		t.Fatal(err)
	}
	return v.Powders[0]
}
