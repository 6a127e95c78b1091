package batch

import (
	"embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"tawny/colour"
)

//go:embed bases/*.csv
var baseFiles embed.FS

// builtin reads the embedded bases once. A fault in them is a fault in the
// build, caught by the package's tests.
var builtin = sync.OnceValues(func() ([]Base, error) {
	entries, err := baseFiles.ReadDir("bases")
	if err != nil {
		return nil, err
	}
	var out []Base
	for _, e := range entries {
		f, err := baseFiles.Open("bases/" + e.Name())
		if err != nil {
			return nil, err
		}
		b, err := ReadBase(f, e.Name())
		f.Close()
		if err != nil {
			return nil, err
		}
		out = append(out, b)
	}
	slices.SortStableFunc(out, func(a, b Base) int {
		return slices.Index(Kinds, a.Kind) - slices.Index(Kinds, b.Kind)
	})
	return out, nil
})

// Builtin returns the bases that come with the tool: lotions, oils, mists,
// then ready-made ones.
func Builtin() ([]Base, error) {
	bs, err := builtin()
	return slices.Clone(bs), err
}

// Find returns the built-in base of that name, whatever its case, whose file is
// called that ("everyday-lotion"), or the only one with all of its words. An unknown name is an error that
// suggests the nearest.
func Find(name string) (Base, error) {
	bs, err := builtin()
	if err != nil {
		return Base{}, err
	}
	words := strings.Split(slug(name), "-")
	var names []string
	var alike []Base
	for _, b := range bs {
		if strings.EqualFold(slug(b.Name), slug(name)) || strings.EqualFold(strings.TrimSuffix(b.File, ".csv"), name) {
			return b, nil
		}
		names = append(names, b.Name)
		own := strings.Split(slug(b.Name), "-")
		if !slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(own, w) }) {
			alike = append(alike, b)
		}
	}
	if len(alike) == 1 {
		return alike[0], nil
	}
	return Base{}, fmt.Errorf("no base called %q; nearest is %q (all: %s)", name, colour.Nearest(name, names), strings.Join(names, ", "))
}

// slug folds a name so that "Everyday lotion" and "everyday-lotion" agree.
func slug(s string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r == ' ' || r == '-' || r == '_' }), "-")
}
