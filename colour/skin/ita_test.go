package skin

import (
	"math"
	"testing"

	"tawny/colour"
)

// The published classification, on and either side of each boundary: very
// light > 55° > light > 41° > intermediate > 28° > tan > 10° > brown > −30° >
// dark (Chardon et al. 1991, Del Bino et al. 2006).
func TestClassBoundaries(t *testing.T) {
	for _, row := range []struct {
		ita         float64
		above, upon Class
	}{
		{55, VeryLight, Light},
		{41, Light, Intermediate},
		{28, Intermediate, Tan},
		{10, Tan, Brown},
		{-30, Brown, Dark},
	} {
		if got := ClassOf(math.Nextafter(row.ita, 90)); got != row.above {
			t.Errorf("just above %g°: %s, want %s", row.ita, got, row.above)
		}
		for _, ita := range []float64{row.ita, math.Nextafter(row.ita, -90)} {
			if got := ClassOf(ita); got != row.upon {
				t.Errorf("%.17g°: %s, want %s", ita, got, row.upon)
			}
		}
	}
}

func TestITA(t *testing.T) {
	for _, row := range []struct {
		c        colour.Lab
		ita      float64
		reliable bool
	}{
		{colour.Lab{L: 50, A: 10, B: 15}, 0, true},
		{colour.Lab{L: 65, A: 10, B: 15}, 45, true},
		{colour.Lab{L: 35, A: 10, B: 15}, -45, true},
		{colour.Lab{L: 50 + 15*math.Sqrt(3), A: 10, B: 15}, 60, true},
		{colour.Lab{L: 26.7, A: 14.6, B: 14.7}, math.Atan(-23.3/14.7) * 180 / math.Pi, true},
		{colour.Lab{L: 70, A: 0, B: 0}, 90, false}, // b* = 0 divides nothing by nothing
		{colour.Lab{L: 30, A: 0, B: 0}, -90, false},
		{colour.Lab{L: 60, A: 0, B: -10}, 135, false},
		{colour.Lab{L: 60, A: 0, B: 4.99}, math.Atan(10/4.99) * 180 / math.Pi, false},
		{colour.Lab{L: 60, A: 0, B: 5}, math.Atan(2) * 180 / math.Pi, true},
	} {
		if got := ITA(row.c); math.Abs(got-row.ita) > 1e-12 {
			t.Errorf("%v: ITA %.15g°, want %.15g°", row.c, got, row.ita)
		}
		if got := ITAReliable(row.c); got != row.reliable {
			t.Errorf("%v: reliable %v, want %v", row.c, got, row.reliable)
		}
	}
	// The reason for the limit: one unit of error from there moves ITA at most
	// 11.5°, less than the narrowest class (intermediate, 13°).
	most := 0.0
	for l := 0.0; l <= 100; l += 0.5 {
		at := ITA(colour.Lab{L: l, B: ITAReliableB})
		for turn := 0; turn < 360; turn++ {
			sin, cos := math.Sincos(float64(turn) * math.Pi / 180)
			most = math.Max(most, math.Abs(ITA(colour.Lab{L: l + sin, B: ITAReliableB + cos})-at))
		}
	}
	if most > 11.6 || most < 11 {
		t.Errorf("one unit of error at b* %g moves ITA up to %.2f°, the comment says 11.5°", ITAReliableB, most)
	}
}

func TestClassText(t *testing.T) {
	b, err := Tan.MarshalText()
	if err != nil || string(b) != "tan" {
		t.Errorf("Tan is written %q, %v", b, err)
	}
	if got := Class(9).String(); got != "unknown" {
		t.Errorf("class 9 is %q", got)
	}
	sum := 0
	for c := VeryLight; c <= Dark; c++ {
		sum += c.Subjects()
	}
	// The 75 forearms and 246 records of the archive by ITA.
	if sum != 321 || Dark.Subjects() != 120 || Light.Subjects() != 62 {
		t.Errorf("readings sum to %d, light %d, dark %d; want 321, 62, 120", sum, Light.Subjects(), Dark.Subjects())
	}
}
