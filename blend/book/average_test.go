package book

import (
	"math"
	"testing"

	"tawny/colour"
)

// Averages and spreads against numbers worked out by hand.
func TestAverageSkin(t *testing.T) {
	t.Parallel()
	r := func(place, day string, l, a, b float64) Reading {
		return Reading{Place: place, TakenOn: day, Seen: "skin", Lab: colour.Lab{L: l, A: a, B: b}, Reflectance: flat(l / 100)}
	}
	skin := AverageSkin([]Reading{
		r("inner forearm", "2026-02-01", 60, 10, 16), r("Inner forearm ", "2026-02-01", 62, 10, 16),
		r("inner forearm", "2026-03-01", 57, 10, 16), r("shoulder", "2026-02-01", 50, 14, 20),
		{Place: "jar", Seen: "jar", Lab: colour.Lab{L: 1}}, {Place: "worn", Seen: "skin", BatchID: 4, Lab: colour.Lab{L: 1}},
	})
	if len(skin.Places) != 2 || skin.Readings != 4 {
		t.Fatalf("%+v", skin)
	}
	arm := skin.Places[0]
	if arm.Place != "inner forearm" || arm.Readings != 3 || len(arm.Days) != 2 || arm.Days[0].Lab.L != 61 || arm.Lab.L != 59 {
		t.Errorf("arm %+v", arm) // (60 + 62)/2 = 61 on the first day; (61 + 57)/2 = 59 over the two
	}
	if want := math.Sqrt((1 + 9 + 4) / 2.0); math.Abs(arm.SD.L-want) > 1e-12 || arm.SD.A != 0 {
		t.Errorf("SD of L* %g, want %g", arm.SD.L, want) // 60, 62, 57 about 59
	}
	worst := colour.DeltaE00(colour.Lab{L: 62, A: 10, B: 16}, arm.Lab)
	mean := (worst + colour.DeltaE00(colour.Lab{L: 60, A: 10, B: 16}, arm.Lab) + colour.DeltaE00(colour.Lab{L: 57, A: 10, B: 16}, arm.Lab)) / 3
	if math.Abs(arm.WorstDE00-worst) > 1e-12 || math.Abs(arm.MeanDE00-mean) > 1e-12 {
		t.Errorf("ΔE00 %g and %g, want %g and %g", arm.MeanDE00, arm.WorstDE00, mean, worst)
	}
	if skin.Lab != (colour.Lab{L: 54.5, A: 12, B: 18}) { // each place counts once
		t.Errorf("whole %+v", skin.Lab)
	}
	if skin.Reflectance == nil || math.Abs(skin.Reflectance[0]-0.545) > 1e-12 {
		t.Errorf("reflectance %v", skin.Reflectance)
	}
	if one := skin.Places[1]; one.Readings != 1 || one.SD != (colour.Lab{}) || one.MeanDE00 != 0 {
		t.Errorf("one reading has no spread: %+v", one)
	}
	if none := AverageSkin(nil); none.Readings != 0 || none.Reflectance != nil {
		t.Errorf("%+v", none)
	}
}

func TestClientSkin(t *testing.T) {
	t.Parallel()
	b := demoBook(t)
	readings, err := Of[Reading](t.Context(), b, "client_id", 1)
	skin := AverageSkin(readings)
	if err != nil || skin.Readings != 3 || len(skin.Places) != 2 || skin.Places[0].Place != "inner forearm" || len(skin.Places[0].Days) != 2 {
		t.Errorf("%+v %v", skin, err)
	}
}
