package job

import (
	"slices"
	"strings"
	"testing"

	"tawny/blend/mend"
	"tawny/blend/search"
)

// A grain given up for the gleam is not said not to be had where another blend of
// the list has it.
func TestGivenUpGrainNamesTheBlendThatHasIt(t *testing.T) {
	m, err := Match(t.Context(), Input{Skin: "deep", Load: 3, Target: "pearl", Gleam: "dazzling", Grain: "satin"}, nil)
	if err != nil {
		t.Fatal(err)
	}
	if m.Blends[0].Grain == "satin" {
		t.Fatalf("the first is a %s: nothing is given up", m.Blends[0].Look.Name)
	}
	said := strings.Join(m.GivenUp, " ")
	has := slices.IndexFunc(m.Blends, func(b BlendView) bool { return b.Grain == "satin" })
	if has < 0 || strings.Contains(said, "not to be had so: the nearest is "+m.Blends[0].Grain) || !strings.Contains(said, "no. "+string(rune('1'+has))+" is satin") {
		t.Errorf("no. %d is satin, and it is said: %s", has+1, said)
	}
}

// A grain's powders are named by a size of three figures.
func TestGrainPowdersAreRounded(t *testing.T) {
	in := Input{Skin: "tan", Load: 3}
	s, err := in.open()
	if err == nil {
		err = s.openDrawer()
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range s.drawer.Pigments {
		g.D50 *= 24.494897 / 24
	}
	for _, want := range []string{"satin", "sparkle"} {
		said := s.grainPowders(want, "pearl")
		for _, word := range strings.Fields(said) {
			if strings.Trim(word, "0123456789.") == "" && len(word) > 5 {
				t.Errorf("%s", said)
			}
		}
	}
}

// A way to the shade that lacks the gleam or grain asked for says so, and is not the
// cheapest way out where another lacks nothing.
func TestReachTellsWhatIsLacking(t *testing.T) {
	want := &search.Shimmer{GleamLo: 20, Grain: "satin"}
	route := func(gleam float64, grain string, cost float64) *mend.Route {
		return &mend.Route{Reaches: true, LoadPercent: 3, Apply: 1, Cost: cost, Lacks: want.Lacks(search.Look{Gleam: gleam, Grain: grain})}
	}
	v := &mend.ReachReport{Load: route(12.3, "pearl", 1), Coverage: route(24, "satin", 2)}
	v.WeighUp(1, 5, "lotion")
	if got := butNot(v.Load.Lacks); got != ", but not the gleam (12.3) or the grain (pearl)" || v.Load.Cheapest {
		t.Errorf("lacks %q, cheapest %v", got, v.Load.Cheapest)
	}
	if len(v.Coverage.Lacks) > 0 || !v.Coverage.Cheapest {
		t.Errorf("what lacks nothing lacks %q, cheapest %v", v.Coverage.Lacks, v.Coverage.Cheapest)
	}
}
