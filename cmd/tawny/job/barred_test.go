package job

import (
	"slices"
	"strings"
	"testing"

	"tawny/blend/batch"
)

// A powder that a rule keeps out of the product is in no answer, and the answer
// names it; one asked for by name is not left out, and where nothing else is
// there neither is any.
func TestBarredPowdersAreNotProposed(t *testing.T) {
	in := Input{Skin: "tan", Target: "bronze", Base: "Quick-dry alcohol spray", Most: 2}
	m, err := Match(t.Context(), in, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, b := range m.Blends {
		for _, p := range b.parts {
			if bars := batch.Bars(p.Pigment, batch.Spray, "body"); len(bars) > 0 {
				t.Errorf("%s is in it, which %s", p.Pigment.Name, bars[0].Words)
			}
		}
	}
	said := func(m *MatchResult) bool {
		return slices.ContainsFunc(m.Notes, func(n string) bool {
			return strings.HasPrefix(n, "Left out by rule") && strings.Contains(n, "pale gold") && strings.Contains(n, "may be breathed")
		})
	}
	if !said(m) {
		t.Errorf("what is left out is not said: %q", m.Notes)
	}
	in.Only = []string{"pale gold"}
	if m, err = Match(t.Context(), in, nil); err != nil || m.Blends[0].names() != "pale gold" || said(m) {
		t.Errorf("what was asked for by name: %v, %v", m, err)
	}
}

// Where an exact load has too much gleam, the answer names a load that has not,
// and the option that allows it.
func TestTooMuchGleamNamesTheLoad(t *testing.T) {
	m, err := Match(t.Context(), Input{Skin: "tan", Target: "gold", Gleam: "soft", Only: []string{"pale gold"}, Apply: "full"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(m.GivenUp) != 1 || !strings.Contains(m.GivenUp[0], "--load-max 3") {
		t.Errorf("given up: %q", m.GivenUp)
	}
}
