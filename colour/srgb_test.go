package colour

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
)

// The libraries take D65's white from its chromaticity rounded to (0.3127,
// 0.3290), ours is the published white itself; that is 0.02 in the blue
// corner and nothing on greys.
func TestHexAgreesWithTwoLibraries(t *testing.T) {
	for _, r := range readReference(t).SRGB {
		reading, err := ParseReading(r.Hex)
		if err != nil {
			t.Fatal(err)
		}
		for _, want := range [][3]float64{r.Culori, r.Colorjs} {
			if d := DeltaE76(reading.Lab, labOf(want)); d > 0.03 {
				t.Errorf("%s is %v, library %v", r.Hex, reading.Lab, want)
			}
		}
		rgb, in := SRGB(reading.Lab)
		if !in || rgb.Hex() != r.Hex {
			t.Errorf("%s comes back as %s, in gamut %v", r.Hex, rgb.Hex(), in)
		}
	}
}

func TestGamutAgreesWithLibrary(t *testing.T) {
	const half = 0.5 / 255 // of an 8-bit step, which rounds into the cube
	outside := 0
	for _, r := range readReference(t).Gamut {
		c := labOf(r.Lab)
		rgb, in := SRGB(c)
		if math.Abs(r.Outside-half) > 1e-3 && in != (r.Outside < half) {
			t.Errorf("%v: in gamut %v, but %.4f outside the cube", c, in, r.Outside)
		}
		if !in {
			outside++
		}
		// The half step allowed can keep a little more chroma.
		if d := DeltaE00(rgb.Lab(), RGB8{r.RGB[0], r.RGB[1], r.RGB[2]}.Lab()); d > 1 {
			t.Errorf("%v: %s, library %v, ΔE00 %.2f", c, rgb.Hex(), r.RGB, d)
		}
		lr, lg, lb := LinearSRGB(c)
		for k, v := range [3]float64{lr, lg, lb} {
			if math.Abs(v-r.Linear[k]) > 1e-3 {
				t.Errorf("%v: linear (%.5f, %.5f, %.5f), library %v", c, lr, lg, lb, r.Linear)
				break
			}
		}
		l, a, b := colorful.LinearRgb(lr, lg, lb).Lab()
		if d := DeltaE76(Lab{l * 100, a * 100, b * 100}, c); d > 1e-3 {
			t.Errorf("%v: linear sRGB comes back %g away", c, d)
		}
	}
	if outside < 20 {
		t.Errorf("only %d cases lie outside the gamut", outside)
	}
}

// What gamut mapping promises: lightness and hue kept, chroma never raised.
func TestGamutMappingKeepsLightnessAndHue(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for n := 0; n < 500; n++ {
		want := LCh{10 + 85*rng.Float64(), 60 + 90*rng.Float64(), 360 * rng.Float64()}
		rgb, in := SRGB(want.Lab())
		if in {
			continue
		}
		got := rgb.Lab().LCh()
		// Eight bits carry a hue to about a unit of ΔE.
		if math.Abs(got.L-want.L) > 1.2 || got.C > want.C+1 {
			t.Errorf("%v is shown as %v", want, got)
		}
		turn := math.Remainder(got.H-want.H, 360) * math.Pi / 180 * got.C
		if math.Abs(turn) > 3 {
			t.Errorf("%v is shown as %v, %.1f off in hue", want, got, turn)
		}
	}
	for _, row := range []struct {
		c   Lab
		hex string
		in  bool
	}{
		{Lab{L: 100}, "#ffffff", true}, {Lab{}, "#000000", true},
		{Lab{L: 130, A: 5, B: 40}, "#ffffff", false}, // a lit flake
		{Lab{L: -3}, "#000000", false},
		{Lab{L: 100, B: 20}, "#ffffff", false},
	} {
		if rgb, in := SRGB(row.c); rgb.Hex() != row.hex || in != row.in {
			t.Errorf("%v: %s, in gamut %v; want %s, %v", row.c, rgb.Hex(), in, row.hex, row.in)
		}
	}
	r, g, b, a := RGB8{255, 128, 0}.RGBA()
	if r != 0xffff || g != 0x8080 || b != 0 || a != 0xffff {
		t.Errorf("RGBA is %x %x %x %x", r, g, b, a)
	}
}

// Seen by an eye used to its light, a grey is grey under any lamp, and D65 is
// the screen's own.
func TestScreen(t *testing.T) {
	for _, l := range Illuminants() {
		v := NewViewing(l, CIE1931)
		for _, lightness := range []float64{15, 50, 85} {
			rgb, in := v.Screen(Lab{L: lightness})
			if want, _ := SRGB(Lab{L: lightness}); !in || rgb != want {
				t.Errorf("%s: L* %g is shown as %s, want %s", l.Name, lightness, rgb.Hex(), want.Hex())
			}
		}
	}
	c := Lab{60, 15, 20}
	got, _ := D65.Screen(c)
	if want, _ := SRGB(c); got != want {
		t.Errorf("under D65 %s, want %s", got.Hex(), want.Hex())
	}
}
