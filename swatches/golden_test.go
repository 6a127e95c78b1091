package swatches

import (
	"flag"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/lucasb-eyer/go-colorful"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/swatches/shimmer"
)

var update = flag.Bool("update", false, "write the golden images anew")

// goldenDPI keeps the images small: a card is 400 × 600 pixels.
const goldenDPI = 100

// A picture differs if its blocks are this far off, ΔE00: an eye sees no
// difference of 0.1 over a whole card, and a changed digit is 10 or more where
// it stands. Another processor's rounding moves a letter's edge by far less.
const (
	tooFarMean  = 0.1
	tooFarWorst = 6
)

const goldenDir = "../testdata/swatches/golden"

// plainFilm is a film of formulas, so that the images hold drawing to account
// and not the optical model: rising reflectance, and two kinds of flake, one
// mirroring yellow and one red.
func plainFilm(level, cover, tilt, micron float64) *shimmer.Film {
	f := &shimmer.Film{TiltDeg: tilt}
	var yellow, red colour.Spectrum
	for i := range f.Even {
		x := float64(i) / (colour.Bands - 1)
		f.Even[i] = level * (0.35 + 0.65*x*x*(3-2*x))
		f.Reading[i] = f.Even[i] + 0.3*cover*x
		yellow[i] = cover * 0.5 * x
		red[i] = cover * 0.4 * x * x * x
	}
	if cover > 0 {
		s := film.Size{D10: micron / 2.2, D50: micron, D90: micron * 2.2}
		f.Flakes = []shimmer.Flakes{
			{PerCM2: s.PerCM2(cover * 0.6), Size: s, Beams: [3]colour.Spectrum{yellow, yellow, yellow}},
			{PerCM2: s.PerCM2(cover * 0.4), Size: s, Beams: [3]colour.Spectrum{red, red, red}},
		}
	}
	return f
}

func plainReflectance() *ReflectanceChart {
	return &ReflectanceChart{Heading: Heading{"Reflectance", "demo", "14 March 2026", "modelled"}, Curves: []Curve{
		{"bare skin", plainFilm(0.5, 0, 10, 1).Reading}, {"smoothed", plainFilm(0.5, 0.3, 10, 20).Reading}, {"full", plainFilm(0.5, 0.7, 10, 20).Reading},
	}}
}

func plainPlane() *PlaneChart {
	r := demoCard().Rows[0]
	return &PlaneChart{Heading: Heading{"On the a*b* plane", "demo", "14 March 2026", "measured"}, Skin: r.Skin, Target: r.Target,
		Blend:     &Patch{Name: "Lantern gold", Lab: r.Looks[1].Lab},
		Reachable: []colour.Lab{{A: 5, B: 12}, {A: 4, B: 24}, {A: 12, B: 25}, {A: 16, B: 10}}}
}

func plainLoads() *LoadChart {
	c := &LoadChart{Heading: Heading{"Against load", "demo", "14 March 2026", "modelled"}, Chosen: 5, Skin: &demoCard().Rows[0].Skin, Target: demoCard().Rows[0].Target}
	for load := 1.0; load <= 10; load++ {
		c.Points = append(c.Points, LoadPoint{load, colour.Lab{L: 64.1 + load*0.8, A: 11.3 - load*0.4, B: 14.4 + load}})
	}
	return c
}

func goldens() map[string]onPaper {
	lit := func() *Card { return shimmerCard("tan", "warm gold") }
	on := func(c *Card, p Paper) onPaper { return onPaper{c, c.Paper(p)} }
	sheets, err := Sheets(A4, clientCard(), clientCard(), clientCard())
	if err != nil {
		panic(err)
	}
	return map[string]onPaper{
		"card":         on(lit(), Upright),
		"card-flat":    on(demoCard(), Upright),
		"card-wide":    on(lit(), Wide),
		"card-phone":   on(lit(), Phone),
		"card-a6":      {clientCard(), A6},
		"crowded":      on(crowdedCard(), Upright),
		"crowded-wide": on(crowdedCard(), Wide),
		"compare":      on(compareCard(), Upright),
		"compare-wide": on(compareCard(), Wide),
		"loads":        on(loadsCard(), Upright),
		"skins":        on(skinsCard(), Upright),
		"pair":         {demoPair(), Wide},
		"reflectance":  {plainReflectance(), Wide},
		"plane":        {plainPlane(), Upright},
		"load-chart":   {plainLoads(), Upright},
		"sheet":        {sheets[0], Paper{A4.WidthMM, A4.HeightMM, 60}},
	}
}

// Every kind of drawing looks as it did when someone last looked: run with
// -update to write the images anew, and look at them.
func TestGolden(t *testing.T) {
	for name, g := range goldens() {
		p := g.p
		if p.DPI > goldenDPI {
			p.DPI = goldenDPI
		}
		path := filepath.Join(goldenDir, name+".png")
		if *update {
			if err := os.MkdirAll(goldenDir, 0o755); err != nil {
				t.Fatal(err)
			}
			if err := writePNG(path, g.d, p); err != nil {
				t.Fatal(err)
			}
			continue
		}
		r, err := Raster(g.d, p)
		if err != nil {
			t.Fatal(err)
		}
		want, err := readPNG(path)
		if err != nil {
			t.Fatalf("%v (run with -update to write the golden images)", err)
		}
		mean, worst := lookApart(r.Pix, want)
		if mean > tooFarMean || worst > tooFarWorst {
			out := filepath.Join(t.TempDir(), name+".png")
			t.Errorf("%s looks different: ΔE00 %.2f on average, %.1f at most", name, mean, worst)
			if err := writePNG(out, g.d, p); err == nil {
				t.Logf("what was drawn: %s", out)
			}
		}
	}
}

func readPNG(path string) (*image.RGBA, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	m, err := png.Decode(f)
	if err != nil {
		return nil, err
	}
	out := image.NewRGBA(m.Bounds())
	for y := range m.Bounds().Dy() {
		for x := range m.Bounds().Dx() {
			out.Set(x, y, m.At(x, y))
		}
	}
	return out, nil
}

// lookApart compares two pictures as an eye at a distance would: blocks of
// 3 × 3 pixels averaged in linear light, then ΔE00. It returns the mean and
// the largest; pictures of unequal size are 100 apart.
func lookApart(a, b *image.RGBA) (mean, worst float64) {
	if a.Bounds() != b.Bounds() {
		return 100, 100
	}
	var all []float64
	const n = 3
	for y := 0; y+n <= a.Bounds().Dy(); y += n {
		for x := 0; x+n <= a.Bounds().Dx(); x += n {
			de := colour.DeltaE00(block(a, x, y, n), block(b, x, y, n))
			all = append(all, de)
			mean += de
		}
	}
	return mean / float64(len(all)), slices.Max(all)
}

func block(m *image.RGBA, x, y, n int) colour.Lab {
	var sum [3]float64
	for j := range n {
		for i := range n {
			q := m.PixOffset(x+i, y+j)
			for c := range sum {
				sum[c] += toLinear[m.Pix[q+c]]
			}
		}
	}
	k := float64(n * n)
	l, a, b := colorful.LinearRgb(sum[0]/k, sum[1]/k, sum[2]/k).Lab()
	return colour.Lab{L: l * 100, A: a * 100, B: b * 100}
}

var toLinear = func() (t [256]float64) {
	for i := range t {
		v := float64(i) / 255
		if v <= 0.04045 {
			t[i] = v / 12.92
		} else {
			t[i] = math.Pow((v+0.055)/1.055, 2.4)
		}
	}
	return t
}()

// The comparison sees what an eye would: a patch two units off, a line of text
// moved, a word changed.
func TestGoldenComparisonSees(t *testing.T) {
	p := Upright
	p.DPI = goldenDPI
	draw := func(change func(*Card)) *image.RGBA {
		c := demoCard()
		change(c)
		r, err := Raster(c, p)
		if err != nil {
			t.Fatal(err)
		}
		return r.Pix
	}
	base := draw(func(*Card) {})
	if mean, worst := lookApart(base, draw(func(*Card) {})); mean != 0 || worst != 0 {
		t.Errorf("one card twice is %.3f, %.3f apart", mean, worst)
	}
	for name, change := range map[string]func(*Card){
		"a patch":  func(c *Card) { c.Rows[0].Looks[1].Lab.L += 3 },
		"a name":   func(c *Card) { c.Title = "Lantern cold" },
		"a number": func(c *Card) { c.blend().Parts[0].Grams = 8.55 },
	} {
		if mean, worst := lookApart(base, draw(change)); mean <= tooFarMean && worst <= tooFarWorst {
			t.Errorf("a change of %s went unseen: %.3f, %.3f", name, mean, worst)
		}
	}
}
