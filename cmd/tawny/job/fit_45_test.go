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
