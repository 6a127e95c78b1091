package search

import (
	"context"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/skin"
)

var builtinDrawer = sync.OnceValues(func() (*palette.Drawer, error) { return palette.Builtin(film.DefaultIndex) })

// drawer returns the built-in drawer with its optics; not to be changed.
func drawer(t testing.TB) *palette.Drawer {
	t.Helper()
	p, err := builtinDrawer()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// forward is a target made by the forward model from a known blend.
type forward struct {
	request Request
	parts   []film.Part
}

// forwardCase draws a skin from very light to dark, three powders, a load and
// an application, and takes the look of that blend as the target.
func forwardCase(t testing.TB, p *palette.Drawer, seed uint64) forward {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 2026))
	presets := skin.Presets()
	s := presets[rng.IntN(len(presets))]
	load := 1.5 + 4.5*rng.Float64()
	apply := 0.5 + 1.5*rng.Float64()
	var f forward
	a, b := rng.Float64(), rng.Float64()
	if a > b {
		a, b = b, a
	}
	for i, k := range rng.Perm(len(p.Pigments))[:3] {
		share := [3]float64{a, b - a, 1 - b}[i]
		f.parts = append(f.parts, film.Part{Pigment: p.Pigments[k], Percent: load * share})
	}
	ground := film.Ground{Reflectance: s.Reflectance}
	seen, err := film.Diffuse(film.Worn{Ground: ground, Parts: f.parts, Apply: apply})
	if err != nil {
		t.Fatal(err)
	}
	f.request = Request{
		Ground: ground, Targets: []Goal{{Lab: colour.D65.Lab(&seen)}}, Powders: p.Pigments,
		LoadLo: load, LoadHi: load, Apply: apply,
	}
	return f
}

// nudged moves the target off what any blend gives exactly.
func (f forward) nudged(rng *rand.Rand, by float64) Request {
	r := f.request
	l := r.Targets[0].Lab
	r.Targets = []Goal{{Lab: colour.Lab{L: l.L + by*rng.NormFloat64(), A: l.A + by*rng.NormFloat64(), B: l.B + by*rng.NormFloat64()}}}
	return r
}

// some returns the powders of the case and others, n in all.
func (f forward) some(rng *rand.Rand, n int) (list []*palette.Pigment) {
	for _, part := range f.parts {
		list = append(list, part.Pigment)
	}
	for _, i := range rng.Perm(len(f.request.Powders)) {
		if g := f.request.Powders[i]; len(list) < n && !slices.Contains(list, g) {
			list = append(list, g)
		}
	}
	return list
}

func mustMatch(t testing.TB, r Request) *Result {
	t.Helper()
	res, err := Match(context.Background(), r)
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
