package shimmer

import (
	"image/png"
	"os"
	"path/filepath"
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

func TestLook(t *testing.T) {
	dir := os.Getenv("SWATCHES_LOOK")
	if dir == "" {
		t.Skip("set SWATCHES_LOOK to a folder to have the pictures written there")
	}
	for _, tone := range []string{"light", "brown"} {
		for name, parts := range map[string]map[string]float64{
			"gold":    {"bright gold": 4, "champagne": 1},
			"sparkle": {"bronze sparkle": 3, "deep gold sparkle": 2},
			"satin":   {"warm gold satin": 4, "satin veil": 1},
		} {
			for _, apply := range []float64{0.5, 1, 2} {
				f, err := Of(worn(t, tone, apply, parts))
				if err != nil {
					t.Fatal(err)
				}
				p, err := Render(f, Scene{}, Options{Width: 350, Height: 350, Seed: 1})
				if err != nil {
					t.Fatal(err)
				}
				r, g, b := p.Mean()
				per := glintsPerCM2(f, Scene{EyeDeg: aspecularEye(15)})
				t.Logf("%s %s %g: %d kinds, expected %.0f drawn %.0f, mean %.3f %.3f %.3f, %.0f per cm² at 15°", tone, name, apply, len(f.Flakes), p.Expected, p.Drawn, r, g, b, per)
				file, err := os.Create(filepath.Join(dir, "shimmer-"+tone+"-"+name+"-"+map[float64]string{.5: "1", 1: "2", 2: "3"}[apply]+".png"))
				if err != nil {
					t.Fatal(err)
				}
				png.Encode(file, p.RGBA())
				file.Close()
			}
		}
	}
}
