package skin

import (
	"math"
	"testing"

	"tawny/colour"
)

func TestUndertoneWords(t *testing.T) {
	curve := standard().Hue
	for _, l := range []float64{20, 45, 60, 75} {
		median := curve.At(l)
		for _, row := range []struct {
			turn float64
			word string
		}{
			{0, "neutral"}, {2.99, "neutral"}, {-2.99, "neutral"}, {3.01, "warm"}, {-3.01, "cool"}, {40, "warm"}, {-100, "cool"},
		} {
			u := undertoneOf(colour.LCh{L: l, C: 20, H: median + row.turn}.Lab(), curve)
			if u.Word != row.word || math.Abs(u.Degrees-row.turn) > 1e-9 || u.MedianHue != median {
				t.Errorf("L* %g, %+g°: %+v, want %s", l, row.turn, u, row.word)
			}
		}
	}
	if u := undertoneOf(colour.LCh{L: 50, C: 4.9, H: 90}.Lab(), curve); u.Word != "unclear" {
		t.Errorf("chroma 4.9 is called %s", u.Word)
	}
	if u := undertoneOf(colour.LCh{L: 50, C: 20, H: 350}.Lab(), curve); u.Word != "cool" || u.Degrees < -180 || u.Degrees > 0 {
		t.Errorf("h 350 is %+v; the difference goes the short way round", u)
	}
}

func TestHueCurve(t *testing.T) {
	c := HueCurve{Low: 40, High: 70, AtLow: 63, AtHigh: 57}
	for l, want := range map[float64]float64{10: 63, 40: 63, 55: 60, 70: 57, 90: 57} {
		if got := c.At(l); math.Abs(got-want) > 1e-12 {
			t.Errorf("L* %g: %g, want %g", l, got, want)
		}
	}
	if got := (HueCurve{}).At(50); got != 0 {
		t.Errorf("zero curve: %g", got)
	}
	// Level beyond the data because the model itself is: down its first
	// component, from the deepest subject to the dark preset, the hue without
	// the surface's light stays within 2.5° of the curve.
	m := standard()
	for s := m.High[0]; s < Presets()[Dark].Scores[0]; s += 0.1 {
		r := m.At([3]float64{s}, true)
		lch := colour.D65.Lab(&r).LCh()
		if d := math.Abs(lch.H - m.Hue.At(lch.L)); d > 2.5 {
			t.Errorf("score %.1f: hue %.1f°, curve %.1f°", s, lch.H, m.Hue.At(lch.L))
		}
	}
}
