package film

import (
	"math"
	"testing"

	"tawny/blend/palette"
	"tawny/colour/skin"
)

// The more there is of a blend in one proportion the more it covers.
func TestScaled(t *testing.T) {
	p := drawer(t)
	parts := []Part{{Pigment: p.Pigments[3], Percent: 1.2}, {Pigment: p.Pigments[17], Percent: 0.4}, {Pigment: p.Pigments[30], Percent: 0.7}}
	w := Worn{Ground: Ground{Reflectance: skin.Presets()[4].Reflectance}, Apply: 1}
	covered := -1.0
	for _, load := range []float64{0, 0.5, 1, 2, 4, 8, 16, 30} {
		w.Parts = Scaled(parts, load)
		sum, by := 0.0, map[*palette.Pigment]float64{}
		for _, part := range w.Parts {
			sum += part.Percent
			by[part.Pigment] = part.Percent
		}
		if math.Abs(sum-load) > 1e-12 || math.Abs(by[parts[0].Pigment]-3*by[parts[1].Pigment]) > 1e-12 {
			t.Errorf("load %g: %v", load, by)
		}
		look, err := Predict(w)
		if err != nil {
			t.Fatal(err)
		}
		if !(look.Covered > covered) {
			t.Errorf("load %g covers %.3f, less covers %.3f", load, look.Covered, covered)
		}
		covered = look.Covered
	}
	if parts[0].Percent != 1.2 {
		t.Error("the blend itself was scaled")
	}
}
