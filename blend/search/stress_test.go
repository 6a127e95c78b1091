package search

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/skin"
)

// The kinds of job a search must not be wrong on.
const (
	fixedLoad = iota
	freeLoad
	deepest     // the darkest preset, fixed load
	deepestFree // and free load
	farFixed    // targets far out of reach
	farFree
	byAngle   // diffuse, 15° and 110° together
	twoLights // daylight and stage together
	thick     // up to 25 % at 3 mg/cm²: from bare skin to opaque
	kinds
)

var kindName = [kinds]string{"fixed load", "free load", "deepest skin", "deepest skin, free load", "far target", "far target, free load", "by angle", "two lights", "thick film"}

// stressCase is a seeded job of a kind, on some powders of the drawer (0: all).
func stressCase(t testing.TB, p *palette.Drawer, kind int, seed uint64, powders int) Request {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, uint64(kind)+77))
	r := forwardCase(t, p, 5000+seed).nudged(rng, float64(seed%4)*2)
	if powders > 0 {
		r.Powders = nil
		for _, k := range rng.Perm(len(p.Pigments))[:powders] {
			r.Powders = append(r.Powders, p.Pigments[k])
		}
	}
	r.Most, r.Equal = 4, 1e-9 // nearest first
	presets := skin.Presets()
	dark := film.Ground{Reflectance: presets[len(presets)-1].Reflectance}
	l := &r.Targets[0].Lab
	far := colour.Lab{L: 10 + 80*rng.Float64(), A: 80*rng.Float64() - 40, B: 80*rng.Float64() - 40}
	switch kind {
	case freeLoad:
		r.LoadLo = 0
	case deepest:
		r.Ground = dark
	case deepestFree:
		r.Ground, r.LoadLo = dark, 0
	case farFixed:
		*l = far
	case farFree:
		*l, r.LoadLo, r.LoadHi = far, 0, 20
	case byAngle:
		r.Targets = append(r.Targets,
			Goal{Lab: colour.Lab{L: l.L + 20, A: l.A, B: l.B + 5}, Aspecular: 15, Weight: 0.5},
			Goal{Lab: colour.Lab{L: l.L - 2, A: l.A, B: l.B}, Aspecular: 110, Weight: 0.5})
		if seed%2 == 0 {
			r.LoadLo = 0
		}
	case twoLights:
		r.Targets = []Goal{{Lab: *l, Viewing: colour.D65}, {Lab: colour.Lab{L: l.L + 1, A: l.A + 1, B: l.B}, Viewing: film.StageView()}}
		if seed%2 == 0 {
			r.LoadLo = 0
		}
	case thick:
		r.Ground, r.LoadLo, r.LoadHi, r.Apply = dark, 0, 25, 3
		*l = colour.Lab{L: 20 + 50*rng.Float64(), A: 30*rng.Float64() - 5, B: 30*rng.Float64() - 5}
	}
	return r
}

// problemOf puts a request into numbers, as Match does, by none of its rules.
func problemOf(t testing.TB, r Request) (Request, *problem, []*palette.Pigment, *search) {
	t.Helper()
	return posed(t, r, rules{})
}

// posed puts a request into numbers by some rules.
func posed(t testing.TB, r Request, q rules) (Request, *problem, []*palette.Pigment, *search) {
	t.Helper()
	r, err := r.WithDefaults()
	if err != nil {
		t.Fatal(err)
	}
	k, err := r.pose(q)
	if err != nil {
		t.Fatal(err)
	}
	return r, k.problem, k.use, k.search
}

// drawerOf returns a drawer of n powders: the built-in ones and, past those,
// copies on a thicker substrate, whose colours differ.
func drawerOf(t testing.TB, n int) []*palette.Pigment {
	t.Helper()
	p := drawer(t)
	list := append([]*palette.Pigment(nil), p.Pigments[:min(n, len(p.Pigments))]...)
	for i := len(list); i < n; i++ {
		g := *p.Pigments[i%len(p.Pigments)]
		g.Name = fmt.Sprintf("%s, thicker %d", g.Name, i/len(p.Pigments))
		if g.Spectrum == "" {
			g.Substrate += 35 * float64(i/len(p.Pigments))
		} else {
			for j := range g.Optics.K {
				g.Optics.K[j] *= 1.1
			}
		}
		list = append(list, &g)
	}
	if n > len(p.Pigments) {
		if err := (&palette.Drawer{Pigments: list}).ComputeOptics(1.47); err != nil {
			t.Fatal(err)
		}
	}
	return list
}
