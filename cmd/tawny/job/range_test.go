package job

import (
	"testing"

	"tawny/testdata/demo"
)

// A range's card bears the name of the one it is for, not that of the dancer the
// demo would have taken.
func TestRangeIsNamedAfterEach(t *testing.T) {
	names := []string{demo.Dancers()[1].Name, demo.Dancers()[0].Name}
	in, err := Input{Most: 2}.Demo()
	if err != nil {
		t.Fatal(err)
	}
	in.demo = true
	in.Only = []string{"pale gold", "bronze", "warm gold"}
	r, err := Range(t.Context(), RangeInput{Input: in, Skins: names, Within: 20}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, b := range r.Shades {
		if want := demo.Looks()[0].Name + " for " + names[i]; b.Title != want {
			t.Errorf("%q, want %q", b.Title, want)
		}
	}
}

// A range for a shade in trade words is of blends that look so on every skin, as a
// match's first answer is.
func TestRangeLooksAsAsked(t *testing.T) {
	for _, shade := range []string{"gold", "rose", "bronze", "pearl"} {
		in := RangeInput{Input: Input{Target: shade, Load: 4, Most: 2}, Skins: []string{"light", "dark"}, Within: 1.5}
		r, err := Range(t.Context(), in, nil)
		if err != nil {
			t.Fatal(err)
		}
		family, _, _ := shadeWord(shade)
		for i, b := range r.Shades {
			if !b.Blend.Is(family) && b.Blend.Because == "" {
				t.Errorf("%s on %s is a %s, and it is not said why", shade, in.Skins[i], b.Blend.Look.Name)
			}
		}
	}
}
