package swatches

import (
	"strings"
	"testing"

	"tawny/colour"
)

func TestDifferenceWords(t *testing.T) {
	for de, want := range map[float64]string{0: "looks the same", 0.99: "looks the same", 1: "barely visible",
		2: "visible side by side", 3.5: "clearly different", 5: "another colour", 40: "another colour", zero / zero: "unknown"} {
		if got := DifferenceWords(de); got != want {
			t.Errorf("ΔE00 %g reads %q, want %q", de, got, want)
		}
	}
}

func TestTurnWords(t *testing.T) {
	from := colour.Lab{L: 60, A: 12, B: 16}
	for want, to := range map[string]colour.Lab{
		"lighter":  {L: 66, A: 12, B: 16},
		"darker":   {L: 54, A: 12, B: 16},
		"yellower": colour.LCh{L: 60, C: 20, H: from.LCh().H + 15}.Lab(),
		"redder":   colour.LCh{L: 60, C: 20, H: from.LCh().H - 15}.Lab(),
		"stronger": colour.LCh{L: 60, C: 27, H: from.LCh().H}.Lab(),
		"greyer":   colour.LCh{L: 60, C: 13, H: from.LCh().H}.Lab(),
		"":         from,
	} {
		got, _, _ := strings.Cut(TurnWords(from, to), ",") // the largest term
		if got != want {
			t.Errorf("%v to %v reads %q, want %q", from, to, got, want)
		}
	}
}

func TestNumbersAsPrinted(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{number(-0.04, 1), "0.0"}, {number(-3.25, 1), "−3.2"}, {number(zero/zero, 1), "–"},
		{amount(0.5), "0.5"}, {amount(2), "2"}, {amount(1.256), "1.26"}, {amount(100), "100"},
		{count(0), "0"}, {count(3.21), "3.2"}, {count(342), "340"}, {count(12345), "12000"}, {count(9.96), "10"},
	} {
		if c.got != c.want {
			t.Errorf("printed %q, want %q", c.got, c.want)
		}
	}
}
