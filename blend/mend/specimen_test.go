package mend

import (
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
	"tawny/colour/skin"
)

// A drawdown lies on a card: of soot, square on under light at 45°, nothing comes
// back, where skin would add its haze, L* 10.
func TestDrawdownHasNoSkin(t *testing.T) {
	soot := &palette.Pigment{Name: "soot", Optics: palette.Optics{K: colour.Constant(1e4)}}
	s := skin.Presets()[0]
	r := search.Request{
		Ground: film.Ground{Reflectance: s.Reflectance, Geometry: colour.DI}, Powders: []*palette.Pigment{soot},
		Targets: []search.Goal{{Lab: s.Lab}}, Apply: 1, LoadLo: 10, LoadHi: 10,
	}
	b := Batch{BatchGrams: 100, Powders: []Weighed{{soot, 10}}}
	got, err := Expected(r, Specimen{Where: OnWhite, Apply: 3, Geometry: colour.At45}, b)
	if err != nil {
		t.Fatal(err)
	}
	if got.L > 0.1 {
		t.Errorf("soot drawn down on white reads %v at 45:0", got)
	}
}
