package colour

import (
	"math"
	"strings"
	"testing"
)

// What is missing, in words and numbers.
func TestMissingWords(t *testing.T) {
	from := Lab{L: 50, A: 12, B: 16}
	for _, c := range []struct {
		to   Lab
		want string
	}{
		{Lab{L: 60, A: 12, B: 16}, "lighter"},
		{Lab{L: 40, A: 12, B: 16}, "darker"},
		{Lab{L: 50, A: 18, B: 24}, "stronger"},
		{Lab{L: 50, A: 6, B: 8}, "greyer"},
		{LCh{L: 50, C: 20, H: 75}.Lab(), "yellower"},
		{LCh{L: 50, C: 20, H: 30}.Lab(), "redder"},
		{LCh{L: 50.1, C: 20, H: 53}.Lab(), ""},
	} {
		if got := MissingOf(from, c.to); got.Words != c.want {
			t.Errorf("from %v to %v: %q, want %q", from, c.to, got.Words, c.want)
		}
	}
	m := MissingOf(from, Lab{L: 44, A: 20, B: 14})
	if !strings.Contains(m.Words, "redder") || !strings.Contains(m.Words, "darker") || math.Abs(m.DL+6) > 1e-12 {
		t.Errorf("%+v", m)
	}
	// Hue names go round the circle and back.
	for h := range 360 {
		a := LCh{L: 50, C: 40, H: float64(h)}
		b := LCh{L: 50, C: 40, H: math.Mod(float64(h)+20, 360)}
		there, back := MissingOf(a.Lab(), b.Lab()), MissingOf(b.Lab(), a.Lab())
		if there.Words == back.Words || there.Words == "" || math.Abs(there.DH-20) > 1e-9 || math.Abs(back.DH+20) > 1e-9 {
			t.Fatalf("h %d to %g: %+v, back %+v", h, b.H, there, back)
		}
	}
}
