package mend

import (
	"context"
	"math/rand/v2"
	"sync"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour/skin"
)

var builtin = sync.OnceValues(func() (*palette.Drawer, error) { return palette.Builtin(film.DefaultIndex) })

// drawer returns the built-in drawer with its optics; not to be changed.
func drawer(t testing.TB) *palette.Drawer {
	t.Helper()
	p, err := builtin()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// forward is a request whose target a known blend makes exactly.
type forward struct {
	request search.Request
	parts   []film.Part
}

// forwardCase draws a skin from very light to dark, three powders, a load and
// an application, and takes the look of that blend as the target.
func forwardCase(t testing.TB, p *palette.Drawer, seed uint64) forward {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 2026))
	presets := skin.Presets()
	ground := film.Ground{Reflectance: presets[rng.IntN(len(presets))].Reflectance}
	load, apply := 1.5+4.5*rng.Float64(), 0.5+1.5*rng.Float64()
	a, b := rng.Float64(), rng.Float64()
	a, b = min(a, b), max(a, b)
	var f forward
	for i, k := range rng.Perm(len(p.Pigments))[:3] {
		f.parts = append(f.parts, film.Part{Pigment: p.Pigments[k], Percent: load * [3]float64{a, b - a, 1 - b}[i]})
	}
	look, err := film.Predict(film.Worn{Ground: ground, Parts: f.parts, Apply: apply})
	if err != nil {
		t.Fatal(err)
	}
	f.request = search.Request{
		Ground: ground, Targets: []search.Goal{{Lab: look.Lab}}, Powders: p.Pigments,
		LoadLo: load, LoadHi: load, Apply: apply,
	}
	return f
}

func mustMatch(t testing.TB, r search.Request) *search.Result {
	t.Helper()
	res, err := search.Match(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// seeded is how many of n seeded cases to run: all of them, or a tenth with
// -short.
func seeded(n int) int {
	if testing.Short() {
		return max(1, n/10)
	}
	return n
}
