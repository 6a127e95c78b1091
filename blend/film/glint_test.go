package film

import (
	"math"
	"math/rand/v2"
	"testing"

	"tawny/blend/palette"
	"tawny/colour/skin"
)

// The number of flakes that send a lamp to an eye straight above, by throwing
// flakes: Gaussian slopes, the mirrored ray followed out into air.
func TestGlintsByThrowingFlakes(t *testing.T) {
	const index, sigma = 1.47, 10.0
	f := mustFilm(t, Lay{index, sigma, 0, 0})
	turned := math.Cos(math.Asin(math.Sin(45*math.Pi/180)/index) / 2) // light at 45° sent straight up
	chance := f.GlintChance(turned, turned)
	const half = 0.03 // radians of the eye's cone, in air
	want := chance * math.Pi * half * half

	rng := rand.New(rand.NewPCG(1, 51))
	s := math.Tan(sigma * math.Pi / 180)
	sin := math.Sin(45*math.Pi/180) / index
	cos := math.Sqrt(1 - sin*sin)
	const flakes = 4_000_000
	hits := 0
	for range flakes {
		x, y := s*rng.NormFloat64(), s*rng.NormFloat64()
		h := 1 / math.Sqrt(1+x*x+y*y) // normal (−x, −y, 1)·h; the light comes from (sin, 0, cos)
		c := h * (-x*sin + cos)
		outX, outY := 2*c*-x*h-sin, 2*c*-y*h
		if index*math.Hypot(outX, outY) < math.Sin(half) {
			hits++
		}
	}
	got := float64(hits) / flakes
	if err := 4 / math.Sqrt(float64(hits)); math.Abs(got/want-1) > err {
		t.Errorf("%d of %d flakes thrown, %.3g; theory %.3g", hits, flakes, got, want)
	}
}

// The moments of the size distribution against draws, and the percentiles.
func TestFlakeSizes(t *testing.T) {
	z := Size{10, 24, 55}
	rng := rand.New(rand.NewPCG(2, 51))
	var area, inverse, even, evenSquare float64
	const steady, diffraction = 0.003, 0.3
	const draws = 1_000_000
	for range draws {
		// By number.
		d := z.D50 * math.Exp(-2*z.Spread()*z.Spread()+z.Spread()*rng.NormFloat64())
		area += d * d
		inverse += 1 / (d * d)
		omega := steady + diffraction/(d*d)
		even += omega
		evenSquare += d * d * d * d / omega
	}
	for _, c := range []struct {
		name      string
		got, want float64
		within    float64
	}{
		{"⟨d²⟩", z.Moment(2), area / draws, 0.01},
		{"⟨d⁻²⟩", z.Moment(-2), inverse / draws, 0.02},
		{"E[b²]/E[b]²", z.unevenness(Blur{steady, diffraction}), evenSquare / draws * even / draws / (area / draws * area / draws), 0.15},
	} {
		if math.Abs(c.got/c.want-1) > c.within {
			t.Errorf("%s %.5g, drawn %.5g", c.name, c.got, c.want)
		}
	}
	// Nine tenths of the area is in flakes under d90, by the distribution itself.
	if d90 := z.D50 * math.Exp(z90*z.Spread()); math.Abs(d90/55-1) > 0.05 {
		t.Errorf("d90 %.1f µm, want 55", d90)
	}
}

// The trade's grades get the trade's words (common practice): 4–14 µm satin,
// 10–55 µm pearl, 28–118 µm sparkle; and finer flakes glint in greater number.
func TestGlintWords(t *testing.T) {
	p := drawer(t)
	light := skin.Presets()[1]
	last := math.Inf(1)
	for _, c := range []struct{ name, word string }{
		{"silver white satin", "satin"}, {"silver white", "pearl"}, {"silver white sparkle", "sparkle"},
		{"bronze satin", "satin"}, {"bronze", "pearl"}, {"bronze sparkle", "sparkle"},
	} {
		g, err := p.Find(c.name)
		if err != nil {
			t.Fatal(err)
		}
		w := Worn{Ground: Ground{Reflectance: light.Reflectance}, Parts: []Part{{Pigment: g, Percent: 5}}, Apply: 1}
		got, err := Glints(w)
		if err != nil {
			t.Fatal(err)
		}
		if got.Word != c.word {
			t.Errorf("%s: %s at contrast %.2f, %.0f per cm², want %s", c.name, got.Word, got.Contrast, got.PerCM2, c.word)
		}
		if c.word != "satin" && got.PerCM2 > last {
			t.Errorf("%s: %.0f per cm², more than the finer grade's %.0f", c.name, got.PerCM2, last)
		}
		last = got.PerCM2
		w.Apply = 0.5
		half, err := Glints(w)
		w.Tilt = TiltFor(1)
		same, err2 := Glints(w)
		if err != nil || err2 != nil || math.Abs(same.PerCM2*2/got.PerCM2-1) > 1e-9 || half.PerCM2 == same.PerCM2 {
			t.Errorf("%s: half as much at the same tilt has %.4g glints of %.4g, rubbed in %.4g (%v %v)", c.name, same.PerCM2, got.PerCM2, half.PerCM2, err, err2)
		}
		t.Logf("%-20s %6.0f glints per cm², contrast %.2f, %s", c.name, got.PerCM2, got.Contrast, got.Word)
	}
}

func TestGlintsRefuse(t *testing.T) {
	g := &palette.Pigment{Name: "unmeasured", Optics: palette.Optics{Flake: true}}
	light := skin.Presets()[1]
	w := Worn{Ground: Ground{Reflectance: light.Reflectance}, Parts: []Part{{Pigment: g, Percent: 2}}, Apply: 1}
	if _, err := Glints(w); err == nil {
		t.Error("flakes of no size were counted")
	}
	w.Parts = nil
	if got, err := Glints(w); err != nil || got != (Glint{}) {
		t.Errorf("bare base: %+v, %v", got, err)
	}
}
