package book

import (
	"math"
	"testing"

	"tawny/colour"
)

// Two readings that are hardly of one person are told, by eye and in two geometries too.
func TestReadingsApart(t *testing.T) {
	t.Parallel()
	r := func(id int64, how, geometry string, l float64) Reading {
		return Reading{ID: id, How: how, Geometry: geometry, Seen: "skin", Lab: colour.Lab{L: l, A: 11, B: 16}}
	}
	for _, c := range []struct {
		what string
		list []Reading
		want *Apart
	}{
		{"near", []Reading{r(1, "typed", "", 60), r(2, "typed", "", 52)}, nil},
		{"judged", []Reading{r(1, "by eye", "", 38), r(2, "by eye", "", 55), r(3, "by eye", "", 50)}, &Apart{ID: [2]int64{1, 2}}},
		{"judged beside read", []Reading{r(1, "by eye", "", 38), r(2, "typed", "", 55)}, nil},
		{"two geometries", []Reading{r(1, "typed", "de", 38), r(2, "typed", "di", 55)}, &Apart{ID: [2]int64{1, 2}}},
		{"seen elsewhere", []Reading{r(1, "typed", "", 38), {ID: 2, How: "typed", Seen: "jar", Lab: colour.Lab{L: 90}}}, nil},
	} {
		got := AverageSkin(c.list).Apart
		if (got == nil) != (c.want == nil) || got != nil && (got.ID != c.want.ID || got.DE00 < 15 || got.DE00 > 17.5) {
			t.Errorf("%s: %+v, want %+v", c.what, got, c.want) // 17 of L* about its middle is ΔE00 16 to 17 (CIE 142)
		}
	}
}

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

// Readings of one kind are averaged in it; of two kinds the one of most counts, or of
// the newest, and what was judged by eye only where nothing was read.
func TestAverageOfKinds(t *testing.T) {
	t.Parallel()
	r := func(l float64, how, geometry, day string) Reading {
		return Reading{Seen: "skin", How: how, Geometry: geometry, TakenOn: day, Lab: colour.Lab{L: l, A: 10, B: 16}}
	}
	for _, c := range []struct {
		what     string
		readings []Reading
		l        float64
		geometry colour.Geometry
		byEye    bool
		judged   int
		others   int
	}{
		{"one kind", []Reading{r(60, "typed", "45", "2026-01-01"), r(62, "typed", "45", "2026-01-01")}, 61, colour.At45, false, 0, 0},
		{"unsaid", []Reading{r(60, "typed", "", "2026-01-01"), r(62, "typed", "", "2026-01-01")}, 61, "", false, 0, 0},
		{"unsaid and a sphere", []Reading{r(60, "typed", "", "2026-01-01"), r(62, "typed", "di", "2026-01-01")}, 61, colour.DI, false, 0, 0},
		{"most", []Reading{r(60, "typed", "", "2026-01-01"), r(62, "typed", "di", "2026-01-01"), r(50, "typed", "45", "2026-02-01")}, 61, colour.DI, false, 0, 1},
		{"newest", []Reading{r(60, "typed", "de", "2026-01-01"), r(50, "typed", "45", "2026-02-01")}, 50, colour.At45, false, 0, 1},
		{"by eye", []Reading{r(40, "by eye", "di", "2026-01-01")}, 40, colour.DI, true, 0, 0},
		{"by eye beside a reading", []Reading{r(40, "by eye", "di", "2026-01-01"), r(60, "instrument", "45", "2026-01-01")}, 60, colour.At45, false, 1, 0},
	} {
		skin := AverageSkin(append(c.readings, Reading{Seen: "jar", Geometry: "photo"}))
		if skin.Lab.L != c.l || skin.Geometry != c.geometry || skin.ByEye != c.byEye || skin.Judged != c.judged || skin.Others != c.others {
			t.Errorf("%s: %+v", c.what, skin)
		}
	}
	if none := AverageSkin(nil); none.ByEye {
		t.Errorf("%+v", none)
	}
}
