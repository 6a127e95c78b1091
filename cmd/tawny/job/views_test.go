package job

import (
	"testing"

	"tawny/colour"
)

// A blend is told in every geometry: its own colour in the skin's, the 45°:0°
// view as the 45° direction, and its distance from the target in the target's.
func TestViewsByGeometry(t *testing.T) {
	for _, g := range colour.Geometries {
		r, err := Blend(Input{env: desk, Skin: "lab:42.5,13.3,25.5/" + string(g), Target: "lab:48,12,30/45", Parts: []string{"bright gold=5"}, Apply: "2"})
		if err != nil {
			t.Fatal(err)
		}
		b := r.Blend
		if len(b.Views) != 4 || b.Views[g].Lab != b.Lab {
			t.Errorf("%s: %v, views %v", g, b.Lab, b.Views)
		}
		if b.Views[colour.At45] != b.Angles[1] || b.Angles[1].Aspecular != 45 {
			t.Errorf("%s: %v at 45°:0°, %v at 45°", g, b.Views[colour.At45], b.Angles[1])
		}
		if d := colour.DeltaE00(b.Views[colour.At45].Lab, r.Target.Lab); d != b.DeltaE00 {
			t.Errorf("%s: ΔE00 %.3f from a target read at 45°:0°, said %.3f", g, d, b.DeltaE00)
		}
		if !(b.Views[colour.DE].Lab.L < b.Views[colour.DI].Lab.L && b.Views[colour.At45].Lab.L < b.Views[colour.DE].Lab.L) {
			t.Errorf("%s: views %v", g, b.Views)
		}
	}
}
