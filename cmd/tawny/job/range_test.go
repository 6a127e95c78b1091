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
	in.Only = []string{"pale gold", "bronze", "warm gold"}
	r, err := Range(t.Context(), RangeInput{Input: in, Skins: DemoSkins(names), Within: 20, names: names}, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, b := range r.blends {
		if want := demo.Looks()[0].Name + " for " + names[i]; b.Title != want {
			t.Errorf("%q, want %q", b.Title, want)
		}
	}
}
