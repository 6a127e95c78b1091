package film

import (
	"math"
	"testing"

	"tawny/colour"
	"tawny/colour/skin"
)

// A curve's points are what Predict gives, it starts at the skin, ends towards
// the jar, and covers more with every step.
func TestCurve(t *testing.T) {
	p := drawer(t)
	parts := []Part{{Pigment: p.Pigments[3], Percent: 1.2}, {Pigment: p.Pigments[17], Percent: 0.4}, {Pigment: p.Pigments[30], Percent: 0.7}}
	w := Worn{Ground: Ground{Reflectance: skin.Presets()[4].Reflectance}, Parts: parts, Apply: 1}
	loads := []float64{0, 0.5, 1, 2, 4, 8, 16, 30}
	points, err := Curve(w, loads)
	if err != nil || len(points) != len(loads) {
		t.Fatal(len(points), err)
	}
	clear, err := Predict(Worn{Ground: w.Ground, Apply: 1})
	if err != nil {
		t.Fatal(err)
	}
	if d := colour.DeltaE00(points[0].Lab, clear.Lab); d > 1e-9 {
		t.Errorf("no load is ΔE00 %.3g from the base alone", d)
	}
	for i, p := range points {
		sum := 0.0
		for _, part := range parts {
			sum += part.Percent
		}
		at := w
		at.Parts = nil
		for _, part := range parts {
			part.Percent *= loads[i] / sum
			at.Parts = append(at.Parts, part)
		}
		look, err := Predict(at)
		if err != nil {
			t.Fatal(err)
		}
		if p.LoadPercent != loads[i] || colour.DeltaE00(look.Lab, p.Lab) > 1e-9 {
			t.Errorf("load %g: %v, Predict %v", loads[i], p.Lab, look.Lab)
		}
		if i > 0 && !(p.Covered > points[i-1].Covered) {
			t.Errorf("load %g covers %.3f, %g covers %.3f", loads[i], p.Covered, loads[i-1], points[i-1].Covered)
		}
	}
	for _, bad := range []float64{-1, math.NaN(), 31} {
		if _, err := Curve(w, []float64{bad}); err == nil {
			t.Errorf("load %g: no error", bad)
		}
	}
	if _, err := Curve(Worn{Ground: w.Ground, Apply: 1}, loads); err == nil {
		t.Error("no powders: no error")
	}
}
