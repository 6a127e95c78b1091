package doubt

import (
	"math"
	"testing"

	"tawny/colour"
)

// Errors alike in every direction make the mean asked for.
func TestAlike(t *testing.T) {
	for _, at := range []colour.Lab{{L: 60, A: 12, B: 18}, {L: 30, A: 10, B: 12}, {L: 50}} {
		for _, m := range Alike(at, 0.1) {
			moved := colour.Lab{L: at.L + m.L, A: at.A + m.A, B: at.B + m.B}
			d, want := colour.DeltaE00(at, moved), 0.1/math.Sqrt(8/math.Pi)
			if math.Abs(d/want-1) > 0.03 && at.Chroma() > 0 {
				t.Errorf("%v: a direction makes ΔE00 %g, want %g", at, d, want)
			}
			if !moved.Finite() || d == 0 {
				t.Errorf("%v: %v", at, m)
			}
		}
	}
}
