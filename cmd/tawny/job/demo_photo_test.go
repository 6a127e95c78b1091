package job_test

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
)

const width, height = 800, 560

type part struct {
	name string
	lab  colour.Lab
	area image.Rectangle
}

var update = flag.Bool("update", false, "write testdata/photo anew")

// The demo photo can be made, and with -update is: an invented forearm, and a
// smear of an invented gold powder on black card, beside a strip of known
// patches, seen through a camera that tints, mixes its channels, slopes the light
// and adds noise. None of it was photographed.
func TestMakeDemoPhoto(t *testing.T) {
	strip := []part{
		{name: "white", lab: colour.Lab{L: 93, A: 0, B: 1}}, {name: "grey 70", lab: colour.Lab{L: 70}},
		{name: "grey 50", lab: colour.Lab{L: 50}}, {name: "grey 30", lab: colour.Lab{L: 30}},
		{name: "red", lab: colour.Lab{L: 45, A: 42, B: 25}}, {name: "yellow", lab: colour.Lab{L: 78, A: 3, B: 52}},
		{name: "green", lab: colour.Lab{L: 52, A: -34, B: 22}}, {name: "blue", lab: colour.Lab{L: 42, A: 2, B: -36}},
	}
	var csv bytes.Buffer
	fmt.Fprintln(&csv, "# title: a printed strip of known patches (demo)\n# source: demo, invented\n# specular: excluded\nname,L,a,b")
	for i := range strip {
		x := 60 + 85*i
		strip[i].area = image.Rect(x, 40, x+85, 140)
		fmt.Fprintf(&csv, "%s,%g,%g,%g\n", strip[i].name, strip[i].lab.L, strip[i].lab.A, strip[i].lab.B)
	}
	files := map[string][]byte{"strip-demo.csv": csv.Bytes()}
	parts := append([]part{
		{"forearm", colour.Lab{L: 55.1, A: 11.9, B: 18.6}, image.Rect(60, 200, 380, 520)},
		{"black card", colour.Lab{L: 24, A: 0, B: 0}, image.Rect(420, 200, 740, 520)},
		{"smear", smear(t), image.Rect(450, 230, 710, 490)},
	}, strip...)
	img := render(parts)
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 85}); err != nil {
		t.Fatal(err)
	}
	files["smear-demo.jpg"] = b.Bytes()
	for name, data := range files {
		const folder = "../../../testdata/photo/"
		if old, err := os.ReadFile(folder + name); err != nil || len(old) < len(data)/2 {
			t.Errorf("%s is not as it is made: %v", name, err)
		}
		if !*update {
			continue
		}
		if err := os.WriteFile(folder+name, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	for _, p := range parts {
		t.Logf("%-10s %v  %.2f %.2f %.2f", p.name, p.area, p.lab.L, p.lab.A, p.lab.B)
	}
}

// smear is 72 nm rutile on mica, 0.8 mg/cm² rubbed on black card, at 45°.
func smear(t *testing.T) colour.Lab {
	t.Helper()
	o, err := palette.FlakeOptics(flake.New(flake.Layer{Material: "rutile", ThicknessNM: 72}))
	if err != nil {
		t.Fatal(err)
	}
	g := &palette.Pigment{Name: "smear", Optics: o}
	look, err := film.Predict(film.Worn{
		Ground: film.Ground{Reflectance: colour.Constant(0.04), Geometry: colour.Photo},
		Parts:  []film.Part{{Pigment: g, Percent: 40}}, Apply: 2, Tilt: 15,
	})
	if err != nil {
		t.Fatal(err)
	}
	return look.Angles[1].Lab
}

func render(parts []part) *image.NRGBA {
	rng := rand.New(rand.NewPCG(2026, 7))
	gain := [3]float64{0.93, 0.80, 0.66} // a warm, dim room
	mix := [3][3]float64{{0.90, 0.07, 0.03}, {0.05, 0.88, 0.07}, {0.02, 0.10, 0.88}}
	img := image.NewNRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			lab := colour.Lab{L: 62, A: 3, B: 9} // a table
			for _, p := range parts {
				if image.Pt(x, y).In(p.area) {
					lab = p.lab
				}
			}
			r, g, b := colour.LinearSRGB(lab)
			light := math.Exp(0.15*(float64(x)/width-0.5) - 0.1*(float64(y)/width-0.35))
			var px [3]uint8
			for k := range 3 {
				c := gain[k] * light * (mix[k][0]*r + mix[k][1]*g + mix[k][2]*b)
				c += 0.02 * math.Sqrt(0.18*math.Max(c, 0)+0.0004) * rng.NormFloat64()
				px[k] = encode(c)
			}
			img.SetNRGBA(x, y, color.NRGBA{px[0], px[1], px[2], 255})
		}
	}
	return img
}

func encode(c float64) uint8 {
	if c <= 0.0031308 {
		c *= 12.92
	} else {
		c = 1.055*math.Pow(c, 1/2.4) - 0.055
	}
	return uint8(math.Round(255 * math.Min(math.Max(c, 0), 1)))
}
