package jar

import (
	"slices"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
)

// tawny's own powders keep to what is asked of a jar: coarse flakes scratch eyes and
// are gritty on lips.
func TestCoarsePowdersAreForTheBody(t *testing.T) {
	d, err := palette.Builtin(film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	coarse := 0
	for _, g := range d.Pigments {
		if g.D90 > CoarsestUM {
			coarse++
			if !slices.Equal(g.Areas, []palette.Area{palette.Body}) {
				t.Errorf("%s, up to %g µm, is allowed on %v", g.Name, g.D90, g.Areas)
			}
		}
	}
	if coarse == 0 {
		t.Error("no coarse powder to try")
	}
}
