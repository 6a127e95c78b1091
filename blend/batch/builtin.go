package batch

import (
	"bytes"
	"embed"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

	"tawny/colour"
)

//go:embed bases/*.csv
var baseFiles embed.FS

// builtin reads the embedded bases once. A fault in them is a fault in the
// build, caught by the package's tests.
var builtin = sync.OnceValue(func() (out []Base) {
	files, _ := fs.Glob(baseFiles, "bases/*.csv")
	for _, name := range files {
		data, _ := baseFiles.ReadFile(name)
		b, err := ReadBase(bytes.NewReader(data), path.Base(name))
		if err != nil {
			panic(err)
		}
		out = append(out, b)
	}
	slices.SortStableFunc(out, func(a, b Base) int {
		return slices.Index(Kinds, a.Kind) - slices.Index(Kinds, b.Kind)
	})
	return out
})

// Builtin returns the bases that come with the tool: lotions, oils, mists,
// then ready-made ones.
func Builtin() []Base { return slices.Clone(builtin()) }

// Find returns the built-in base of that name, whatever its case, whose file is
// called that ("everyday-lotion"), or the only one with all of its words. An unknown name is an error that
// suggests the nearest.
func Find(name string) (Base, error) {
	words := strings.Split(slug(name), "-")
	var names []string
	var alike []Base
	for _, b := range builtin() {
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
