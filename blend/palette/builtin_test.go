package palette

import "testing"

// drawer returns the built-in drawer with its optics in a usual binder; not to
// be changed.
func drawer(t testing.TB) *Drawer {
	t.Helper()
	p, err := Builtin(1.47)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
