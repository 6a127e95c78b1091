package film

import (
	"testing"

	"tawny/blend/palette"
)

// drawer returns the built-in drawer with its optics; not to be changed.
func drawer(t testing.TB) *palette.Drawer {
	t.Helper()
	p, err := palette.Builtin(DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
