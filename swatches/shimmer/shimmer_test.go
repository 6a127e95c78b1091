package shimmer

import (
	"sync"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour/skin"
)

// worn is an invented blend on a preset skin.
func worn(t testing.TB, tone string, apply float64, parts map[string]float64) film.Worn {
	t.Helper()
	s, err := skin.Find(tone)
	if err != nil {
		t.Fatal(err)
	}
	p, err := drawer()
	if err != nil {
		t.Fatal(err)
	}
	w := film.Worn{Ground: film.Ground{Reflectance: s.Reflectance}, Apply: apply}
	for _, name := range p.Names() {
		if percent, ok := parts[name]; ok {
			g, err := p.Find(name)
			if err != nil {
				t.Fatal(err)
			}
			w.Parts = append(w.Parts, film.Part{Pigment: g, Percent: percent})
		}
	}
	return w
}

var drawer = sync.OnceValues(func() (*palette.Drawer, error) { return palette.Builtin(film.DefaultIndex) })
