package job

import (
	"path/filepath"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/skin"
)

// One file of 45°:0° readings, three films of a powder over two cards, each
// reading off by ΔE00 0.3 and each mass by 3 %, tells what loads that were not
// drawn look like on skin, read the same way and with a sphere. The films are
// the engine's with the flakes' own optics, so a fit of K and S is not what made
// them.
func TestFitAtFortyFive(t *testing.T) {
	drawer, err := palette.Builtin(film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	skins := skin.Presets()
	skins = []skin.Skin{skins[1], skins[len(skins)-1]}
	sum, n := map[colour.Geometry]float64{}, 0.0
	for i, name := range []string{"pale gold", "bronze", "copper", "silver white", "blue gleam", "red oxide", "titanium white"} {
		p, err := drawer.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), "d.csv")
		drawing{powder: p.Optics, geometry: colour.At45, like: name, loads: []float64{0.05, 0.1, 0.2}, sigma: 0.3, massOff: 0.03, seed: uint64(i)}.write(t, path)
		r, err := Fit(desk, FitInput{File: path})
		if err != nil {
			t.Fatal(err)
		}
		fitted := *p
		copy(fitted.Optics.K[:], r.K)
		copy(fitted.Optics.S[:], r.S)
		mean := map[colour.Geometry]float64{}
		loads := []float64{0.02, 0.035, 0.07, 0.14, 0.3}
		for _, k := range skins {
			for _, m := range loads {
				for _, g := range []colour.Geometry{colour.At45, colour.DI} {
					var lab [2]colour.Lab
					for j, q := range []*palette.Pigment{p, &fitted} {
						s, err := film.Diffuse(film.Worn{
							Ground: film.Ground{Reflectance: k.Reflectance, Geometry: colour.DI}, Geometry: g,
							Parts: []film.Part{{Pigment: q, Percent: 100 * m / 5}}, Apply: 5, Tilt: 10,
						})
						if err != nil {
							t.Fatal(err)
						}
						lab[j] = colour.D65.Lab(&s)
					}
					mean[g] += colour.DeltaE00(lab[0], lab[1]) / float64(len(loads)*len(skins))
				}
			}
		}
		t.Logf("%-15s %s: mean ΔE00 on skin %.2f at 45°:0°, %.2f with a sphere; residual %.2f", name, r.Verdict, mean[colour.At45], mean[colour.DI], r.Mean)
		for g, d := range mean {
			sum[g] += d
		}
		n++
	}
	for g, d := range sum {
		if t.Logf("%s: mean %.3f", g, d/n); !(d/n <= 0.7) {
			t.Errorf("%s: mean ΔE00 %.2f", g, d/n)
		}
	}
}

// What a fit was made of is what is predicted of the powder once it is in a drawer,
// in every geometry and another binder, whatever is known of its coat: the right
// one, another, or none.
func TestFittedIsPredictedAsItWasFitted(t *testing.T) {
	const index = 1.52
	built, err := palette.Builtin(index)
	if err != nil {
		t.Fatal(err)
	}
	drawnAt := func(p *palette.Pigment, g colour.Geometry, ground string, mg float64) colour.Lab {
		s, err := film.Diffuse(film.Worn{
			Ground: film.Ground{Reflectance: card(ground), Geometry: g, Card: true}, Tilt: 10, Base: film.Base{Index: index},
			Parts: []film.Part{{Pigment: p, Percent: 100 * mg / film.MaxApply}}, Apply: film.MaxApply,
		})
		if err != nil {
			t.Fatal(err)
		}
		return colour.D65.Lab(&s)
	}
	const facts = "family: gold\n# inci: Mica=60;Titanium Dioxide=40\n# ci: CI 77019\n# grade: 10-60\n# density_g_cm3: 3\n# bulk_g_ml: 0.3\n# oil_absorption_g_100g: 60\n# areas: body"
	for _, c := range []struct{ name, like, facts string }{
		{"pale gold", "pale gold", ""}, {"pale gold", "violet gleam", ""}, {"pale gold", "", facts}, {"red oxide", "red oxide", ""},
	} {
		p, err := built.Find(c.name)
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range colour.Geometries {
			dir := t.TempDir()
			path, drawerFile := filepath.Join(dir, "d.csv"), filepath.Join(dir, "drawer.csv")
			keys := []string{"binder_index: 1.52"}
			if c.facts != "" {
				keys = append(keys, c.facts)
			}
			drawing{powder: p.Optics, geometry: g, index: index, like: c.like, loads: []float64{0.05, 0.1, 0.2}, keys: keys}.write(t, path)
			r, err := Fit(desk, FitInput{File: path, Add: true, Drawer: drawerFile, Anyway: true})
			if err != nil {
				t.Fatalf("%s like %q: %v", c.name, c.like, err)
			}
			drawer, err := desk.OpenDrawer(drawerFile, index)
			if err != nil {
				t.Fatal(err)
			}
			worst, off := 0.0, map[colour.Geometry]float64{}
			for _, v := range r.Readings {
				worst = max(worst, colour.DeltaE00(v.Model, drawnAt(drawer.Pigments[0], g, v.Ground, v.Mass)))
				for _, other := range colour.Geometries {
					off[other] = max(off[other], colour.DeltaE00(drawnAt(p, other, v.Ground, v.Mass), drawnAt(drawer.Pigments[0], other, v.Ground, v.Mass)))
				}
			}
			t.Logf("%s like %q read at %s: predicted as fitted to ΔE00 %.1g; the truth in each to %.2v", c.name, c.like, g, worst, off)
			if worst > 2e-3 {
				t.Errorf("%s like %q at %s: the drawer predicts ΔE00 %.4f from the fit's own film", c.name, c.like, g, worst)
			}
			for other, d := range off {
				if c.like == c.name && d > 0.01 {
					t.Errorf("%s read at %s, predicted at %s: ΔE00 %.3f", c.name, g, other, d)
				}
			}
		}
	}
}
