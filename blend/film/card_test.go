package film

import (
	"math"
	"strings"
	"testing"

	"tawny/blend/palette"
	"tawny/colour"
)

// A card is seen through a smooth binder: a film on it that swallows all light
// reads as the binder's own mirror with a sphere, (n−1)²/(n+1)² at nearly square on,
// and as nothing sideways. Skin throws a haze of over 0.01 there.
func TestCardHasNoSkin(t *testing.T) {
	k := colour.Constant(1e4)
	soot := &palette.Pigment{Name: "soot", Optics: palette.Optics{K: k}}
	for _, g := range colour.Geometries {
		w := Worn{
			Ground:   Ground{Reflectance: colour.Constant(0.9), Geometry: g, Card: true},
			Geometry: g, Parts: []Part{{Pigment: soot, Percent: 10}}, Apply: 2,
		}
		card, err := Diffuse(w)
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0
		if g == colour.DI {
			want = math.Pow((DefaultIndex-1)/(DefaultIndex+1), 2)
		}
		if math.Abs(card[9]-want) > 1e-5 {
			t.Errorf("%s: soot on a card reads %.5f, want %.5f", g, card[9], want)
		}
		w.Ground.Card = false
		skin, err := Diffuse(w)
		if err != nil {
			t.Fatal(err)
		}
		if sideways := g == colour.DE || g == colour.At45; sideways != (skin[9]-want > 0.009) {
			t.Errorf("%s: soot on skin reads %.5f", g, skin[9])
		}
	}
}

// A card can read no darker than the mirror of the binder over it where that is seen;
// a reading's own error is let pass, and reads back as it was.
func TestCardDarkerThanItsBinder(t *testing.T) {
	for g, want := range map[colour.Geometry]bool{colour.DI: true, colour.DE: false, colour.At45: false, colour.Photo: false} {
		for read, fault := range map[float64]bool{0.01: want, 0.033: want, 0.035: false} {
			_, err := mustReader(t, mustFilm(t, Lay{Index: DefaultIndex, TiltDeg: 10}), g).Card(&colour.Spectrum{})
			if err == nil {
				t.Errorf("%s: nothing is taken for a card", g)
			}
			card := colour.Constant(read)
			_, err = mustReader(t, mustFilm(t, Lay{Index: DefaultIndex, TiltDeg: 10}), g).Card(&card)
			if (err != nil) != fault || fault && !strings.Contains(err.Error(), "read without gloss") {
				t.Errorf("%s, a card of %g: %v", g, read, err)
			}
		}
		f := mustFilm(t, Lay{Index: DefaultIndex, TiltDeg: 10})
		one := colour.Constant(0.05)
		one[9] = 0.0343
		for _, read := range []colour.Spectrum{colour.Constant(0.0343), colour.Constant(0.037), one} {
			under, err := mustReader(t, f, g).Card(&read)
			if err != nil {
				t.Fatal(err)
			}
			back, err := f.Bare(g, &under)
			if err != nil || colour.RMS(&back, &read) > 1e-12 {
				t.Errorf("%s: a card of %.4f, %.4f reads back %.4f, %.4f, %v", g, read[8], read[9], back[8], back[9], err)
			}
		}
	}
}

// With nothing on it a card reads in every geometry as Saunderson's correction of
// the binder has it, and back.
func TestBareCard(t *testing.T) {
	const n, below = DefaultIndex, 0.3
	rd := colour.DiffuseFresnel(n)
	kept := 1 - (1-rd)/(n*n)
	through := func(deg, out float64) float64 {
		return (1 - colour.Fresnel(n, math.Cos(deg*math.Pi/180))) * out / (n * n) * below / (1 - kept*below)
	}
	square := 1 - colour.Fresnel(n, 1)
	want := map[colour.Geometry]float64{
		colour.DI:   colour.Fresnel(n, math.Cos(8*math.Pi/180)) + through(8, 1-rd),
		colour.DE:   through(8, 1-rd),
		colour.At45: through(45, square), colour.Photo: through(0, 1-rd),
	}
	for from := range want {
		for to := range want {
			r, err := Diffuse(Worn{Ground: Ground{Reflectance: colour.Constant(want[from]), Geometry: from, Card: true}, Geometry: to})
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(r[3]-want[to]) > 1e-12 {
				t.Errorf("a card read %s as %.6f reads %.6f in %s, want %.6f", from, want[from], r[3], to, want[to])
			}
		}
	}
}
