package film

import (
	"math"
	"math/rand/v2"
	"testing"

	"tawny/blend/palette"
	"tawny/colour/skin"
)

// The number of flakes that send a lamp to an eye, by throwing flakes: Gaussian
// slopes, the ray of a narrow lamp followed from air into the binder, mirrored and
// out again to a wide pupil; and the other way, of a wide lamp to a point of an eye.
// Aslant both cones narrow on entering by more than n²: an eye at 30° by a twelfth,
// a lamp at 45° by a fifth.
func TestGlintsByThrowingFlakes(t *testing.T) {
	const index, sigma = 1.47, 10.0
	f := mustFilm(t, Lay{index, sigma, 0, 0})
	const half = 0.03 // radians, of a cone in air
	rng := rand.New(rand.NewPCG(1, 51))
	s := math.Tan(sigma * math.Pi / 180)
	for _, eyeDeg := range []float64{0, 30} { // on the side the light goes on to
		lamp, eye := towards(45), towards(eyeDeg)
		eye[2] = -eye[2]
		d, v := lamp.refracted(index), eye.refracted(index)
		m := d.plus(v.scaled(-1)).unit()
		chance := f.GlintChance(m[2], d.dot(m))
		for _, wide := range []string{"eye", "lamp"} {
			from, to, blur := d, eye, f.NewBlur(0, lamp[2], -eye[2]).steady*(half/glintEyeRad)*(half/glintEyeRad)
			if wide == "lamp" { // light turned round
				from, to = v.scaled(-1), lamp.scaled(-1)
				blur = f.NewBlur(half*180/math.Pi, lamp[2], -eye[2]).steady - f.NewBlur(0, lamp[2], -eye[2]).steady
			}
			const flakes = 4_000_000
			hits := 0
			for range flakes {
				normal := vec{-s * rng.NormFloat64(), -s * rng.NormFloat64(), 1}.unit()
				out := from.mirrored(normal)
				x, y := index*out[0], index*out[1]
				if out[2] < 0 && x*x+y*y < 1 && (vec{x, y, -math.Sqrt(1 - x*x - y*y)}).dot(to) > math.Cos(half) {
					hits++
				}
			}
			got, want := float64(hits)/flakes, chance*math.Pi*blur
			t.Logf("eye at %g°, wide %s: %.4g of the flakes thrown, theory %.4g", eyeDeg, wide, got, want)
			if err := 3.5 / math.Sqrt(float64(hits)); math.Abs(got/want-1) > err {
				t.Errorf("eye at %g°, wide %s: %d of %d flakes thrown, %.4g; theory %.4g", eyeDeg, wide, hits, flakes, got, want)
			}
		}
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
