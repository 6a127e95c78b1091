package colour

import (
	"math"
	"strings"
	"testing"
)

func TestDifferenceWords(t *testing.T) {
	for de, want := range map[float64]string{0: "looks the same", 0.49: "looks the same", 0.8: "hardly visible", 1: "just visible",
		2: "visible", 3.5: "clearly different", 5: "another colour", 40: "another colour", math.NaN(): "unknown"} {
		if got := DifferenceWords(de); got != want {
			t.Errorf("ΔE00 %g reads %q, want %q", de, got, want)
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
