package doubt

import (
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
)

// drawer returns the built-in drawer with its optics; not to be changed.
func drawer(t testing.TB) *palette.Drawer {
	t.Helper()
	p, err := palette.Builtin(film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
