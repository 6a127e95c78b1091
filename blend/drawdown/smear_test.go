package drawdown

import (
	"testing"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
)

// A smear looks as a film worn on a card is predicted to.
func TestSmearLiesOnACard(t *testing.T) {
	coat := flake.Layer{Material: "hematite", ThicknessNM: 42}
	p := &palette.Pigment{Layers: []flake.Layer{coat}, Substrate: flake.DefaultSubstrateNM}
	if err := (&palette.Drawer{Pigments: []*palette.Pigment{p}}).ComputeOptics(film.DefaultIndex); err != nil {
		t.Fatal(err)
	}
	const mass = 0.6
	for _, g := range colour.Geometries {
		s, err := NewSmear(colour.Reading{Viewing: colour.D65, Geometry: g})
		if err != nil {
			t.Fatal(err)
		}
		card := colour.Constant(0.004 + s.Mirror()) // darker than skin's haze, at 45:0
		if err := s.On(card); err != nil {
			t.Fatal(err)
		}
		got, err := s.Look(flake.New(coat), mass)
		if err != nil {
			t.Fatal(err)
		}
		r, err := film.Diffuse(film.Worn{
			Ground: film.Ground{Reflectance: card, Geometry: g, Card: true}, Geometry: g, Tilt: smearTilt,
			Parts: []film.Part{{Pigment: p, Percent: 20}}, Apply: mass / 0.2,
		})
		if err != nil {
			t.Fatal(err)
		}
		if d := colour.DeltaE00(got, colour.D65.Lab(&r)); d > 1e-9 {
			t.Errorf("%s: a smear is ΔE00 %.3g from the film it is", g, d)
		}
	}
}
