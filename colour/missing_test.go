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
	// A term is told from half a unit on: of CIE 94 from a chroma of 40, ΔC* is over
	// 2.8 and ΔH* over 1.6, ΔH* the chord of the hue's turn.
	strong := LCh{L: 50, C: 40, H: 60}
	for _, c := range []struct {
		dl, dc, dh float64
		want       string
	}{
		{0.51, 0, 0, "lighter"}, {0.49, 0, 0, ""}, {0, 1.41, 0, "stronger"}, {0, 1.39, 0, ""},
		{0, 0, -1.16, "redder"}, {0, 0, 1.16, "greener"}, // a* moves by 0.7, b* by 0.4, less than is told
		{0, 0, 1.13, ""}, {1, 2.7, 0, "lighter, stronger"}, {1, 2.9, 0, "stronger, lighter"},
		{0, 3, 2.3, "stronger, yellower"}, {0, 3, 2.45, "yellower, stronger"},
	} {
		to := LCh{L: strong.L + c.dl, C: strong.C + c.dc, H: strong.H + c.dh}
		if got := MissingOf(strong.Lab(), to.Lab()); got.Words != c.want {
			t.Errorf("%+v: %q, want %q", c, got.Words, c.want)
		}
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
