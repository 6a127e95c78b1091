package colour

import (
	"math"
	"strings"
	"testing"
)

func TestDifferenceWords(t *testing.T) {
	for de, want := range map[float64]string{0: "no visible difference", 0.29: "no visible difference", 0.31: "hardly a difference", 0.8: "hardly a difference", 1: "a slight difference",
		2: "a visible difference", 3.5: "a clear difference", 5: "another colour", 40: "another colour", math.NaN(): "unknown"} {
		for _, l := range []float64{65, 80, 100} {
			if got := DifferenceWords(de, l); got != want {
				t.Errorf("ΔE00 %g on L* %g reads %q, want %q", de, l, got, want)
			}
		}
	}
	// Half way between light and dark skin it is half way between what is seen there.
	if got := JustSeen(51); math.Abs(got-(0.6+1.75)/2) > 1e-12 {
		t.Errorf("just seen at L* 51: %g", got)
	}
	// Half of observers see 0.6 on light skin and only 1.75 on dark (Vision
	// Research 223:108474): the same word there, and on dark a slight
	// difference on light is not visible. What the skin makes of it is said.
	for _, row := range []struct{ de, l float64 }{{0.6, 65}, {1.75, 37}, {1.75, 25}} {
		if got := strings.TrimSuffix(DifferenceWords(row.de, row.l), " on this skin"); got != "hardly a difference" {
			t.Errorf("ΔE00 %g on L* %g reads %q", row.de, row.l, got)
		}
	}
	// Under half of what half of them see next to nobody does, and not more than that.
	for de, want := range map[float64]string{0.86: "no visible difference on this skin", 0.89: "hardly a difference"} {
		if got := DifferenceWords(de, 37); got != want || Unseen(de, 37) != strings.HasPrefix(want, "no ") {
			t.Errorf("ΔE00 %g on dark skin reads %q", de, got)
		}
	}
	// Words never come sooner on darker skin.
	rank := map[string]int{"no visible difference": 0, "hardly a difference": 1, "a slight difference": 2, "a visible difference": 3, "a clear difference": 4, "another colour": 5}
	for de := 0.0; de < 10; de += 0.1 {
		for l := 70.0; l > 20; l -= 5 {
			darker, ok := rank[strings.TrimSuffix(DifferenceWords(de, l-5), " on this skin")]
			if lighter := rank[strings.TrimSuffix(DifferenceWords(de, l), " on this skin")]; !ok || darker > lighter {
				t.Errorf("ΔE00 %.1f is more on L* %g than on %g", de, l-5, l)
			}
		}
	}
}

func TestTurnWords(t *testing.T) {
	from := Lab{L: 60, A: 12, B: 16}
	for want, to := range map[string]Lab{
		"lighter":  {L: 66, A: 12, B: 16},
		"darker":   {L: 54, A: 12, B: 16},
		"yellower": LCh{L: 60, C: 20, H: from.LCh().H + 15}.Lab(),
		"redder":   LCh{L: 60, C: 20, H: from.LCh().H - 15}.Lab(),
		"stronger": LCh{L: 60, C: 27, H: from.LCh().H}.Lab(),
		"greyer":   LCh{L: 60, C: 13, H: from.LCh().H}.Lab(),
		"":         from,
	} {
		got, _, _ := strings.Cut(TurnWords(from, to), " and ") // the largest term
		if got != want {
			t.Errorf("%v to %v reads %q, want %q", from, to, got, want)
		}
	}
}

// A word of hue is said of a* or b* that really changed: changes that powders make of
// skin, as smoothed on.
func TestHueWordIsOfWhatChanged(t *testing.T) {
	tan, dark, veryLight := Lab{L: 56.3, A: 11.4, B: 18.4}, Lab{L: 37.2, A: 10.2, B: 13}, Lab{L: 68.2, A: 10.2, B: 10.2}
	for _, c := range []struct {
		skin     Lab
		da, db   float64
		want, no string
	}{
		{dark, -1.8, -11.4, "bluer", "redder"},     // blue gleam
		{tan, -0.6, -6.5, "bluer", "redder"},       // the same
		{veryLight, -0.3, -2.9, "bluer", "redder"}, // the same
		{dark, -2, -11.2, "bluer", "redder"},       // satin veil
		{veryLight, -5.3, -10, "bluer", "redder"},  // ultramarine
		{dark, -6.4, 0.8, "greener", "yellower"},   // green gleam
		{tan, -3.6, 0, "greener", "yellower"},      // the same
		{tan, -2.5, -0.2, "greener", "yellower"},   // pale gold
		{tan, 0.1, -2.2, "bluer", "redder"},        // apricot
		{tan, -0.1, 6, "yellower", "greener"},      // ochre
		{dark, 2.7, 0.5, "redder", "bluer"},        // red oxide
		{tan, 2, -2, "redder", "bluer"},            // rose gleam
		{tan, -1.5, 1, "yellower", "greener"},      // gold
	} {
		words := TurnWords(c.skin, Lab{L: c.skin.L, A: c.skin.A + c.da, B: c.skin.B + c.db})
		if !strings.Contains(words, c.want) || strings.Contains(words, c.no) {
			t.Errorf("Δa* %g, Δb* %g on %v reads %q, want %q", c.da, c.db, c.skin, words, c.want)
		}
	}
	if words := TurnWords(dark, Lab{L: dark.L, A: dark.A - 1.8, B: dark.B - 11.4}); words != "bluer and greyer" {
		t.Errorf("a blue gleam on dark skin reads %q", words)
	}
}

// What a client read of golds and blues beside the skin.
func TestSkinWords(t *testing.T) {
	for _, c := range []struct {
		bare, worn Lab
		want       string
	}{
		{Lab{68.2, 10.2, 10.2}, Lab{69.6, 9.6, 10.4}, "lighter"},                 // champagne on very light skin: no hue to be seen
		{Lab{56.3, 11.4, 18.4}, Lab{58.5, 8.9, 18.4}, "less red and lighter"},    // pale gold
		{Lab{37.2, 10.2, 13}, Lab{38, 8.4, 1.6}, "bluer and greyer"},             // a blue gleam on dark skin
		{Lab{37.2, 10.2, 13}, Lab{39, 3.8, 13.8}, "greener and greyer"},          // a green one
		{Lab{56.3, 11.4, 18.4}, Lab{56.5, 11.5, 16.2}, "less yellow and greyer"}, // apricot on tan
	} {
		if got := SkinWords(c.bare, c.worn); got != c.want {
			t.Errorf("%v worn %v: %q, want %q", c.bare, c.worn, got, c.want)
		}
	}
}
