package shimmer

import (
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/lucasb-eyer/go-colorful"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/colour/skin"
)

// pixel is a screen's colour.
func pixel(m *image.RGBA, x, y int) colorful.Color {
	q := m.Pix[m.PixOffset(x, y):]
	return colorful.Color{R: float64(q[0]) / 255, G: float64(q[1]) / 255, B: float64(q[2]) / 255}
}

// meanLab is the mean, in linear light, of the columns from x0 to x1.
func meanLab(m *image.RGBA, x0, x1 int) colour.Lab {
	var r, g, b float64
	for y := range m.Rect.Dy() {
		for x := x0; x < x1; x++ {
			lr, lg, lb := pixel(m, x, y).LinearRgb()
			r, g, b = r+lr, g+lg, b+lb
		}
	}
	n := float64(m.Rect.Dy() * (x1 - x0))
	l, a, bb := colorful.LinearRgb(r/n, g/n, b/n).Lab()
	return colour.Lab{L: l * 100, A: a * 100, B: bb * 100}
}

// arm pictures bare and worn skin as screens show it.
func arm(t *testing.T, rig Rig, w film.Worn) *image.RGBA {
	t.Helper()
	return armOf(t, rig, w, 400, 300)
}

func armOf(t *testing.T, rig Rig, w film.Worn, width, height int) *image.RGBA {
	t.Helper()
	bare := w
	bare.Parts, bare.Apply = nil, 0
	var films []*Film
	for _, w := range []film.Worn{bare, w} {
		f, err := Of(w)
		if err != nil {
			t.Fatal(err)
		}
		films = append(films, f)
	}
	m, err := Arm(films, rig.Scene(), Options{Width: width, Height: height, MMPerPixel: 46.0 / float64(height), Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if dir := os.Getenv("SWATCHES_LOOK"); dir != "" {
		file, err := os.Create(filepath.Join(dir, t.Name()+".png"))
		if err != nil {
			t.Fatal(err)
		}
		defer file.Close()
		png.Encode(file, m)
	}
	return m
}

// In even light the picture is the reading on its bare side and the prediction
// on its worn one, on every preset and in every geometry.
func TestEvenArmIsTheReading(t *testing.T) {
	for _, s := range skin.Presets() {
		for _, g := range []colour.Geometry{colour.DI, colour.DE, colour.At45, colour.Photo} {
			w := worn(t, s.Name, 1, map[string]float64{"pale gold": 3})
			w.Ground.Geometry = g
			look, err := film.Predict(w)
			if err != nil {
				t.Fatal(err)
			}
			m := arm(t, Even, w)
			mid := m.Rect.Dx() / 2
			if de := colour.DeltaE00(meanLab(m, 0, mid), colour.D65.Lab(&w.Ground.Reflectance)); de > 1 {
				t.Errorf("%s read %s: the bare side is ΔE00 %.2f from the reading", s.Name, g, de)
			}
			if de := colour.DeltaE00(meanLab(m, mid, 2*mid), look.Lab); de > 1 {
				t.Errorf("%s read %s: the worn side is ΔE00 %.2f from the prediction", s.Name, g, de)
			}
		}
	}
}

// Under the window a gold or a bronze glints in its own colour: of the pixels
// brighter than the bare side's 99th centile at most 3 % have a chroma over 8
// and a hue 50° away from the blend's at 15°. Satin is a sheen, its L* spread
// within every row under 2.5, and pearl and sparkle each spread a tenth more.
func TestWindowGlintsInThePowdersColour(t *testing.T) {
	for _, s := range skin.Presets() {
		for _, grades := range [][3]string{{"warm gold satin", "warm gold", "bright gold sparkle"}, {"bronze satin", "bronze", "bronze sparkle"}} {
			last := 0.0
			for i, name := range grades {
				w := worn(t, s.Name, 1, map[string]float64{name: 4})
				if len(w.Parts) == 0 {
					t.Fatalf("no powder %q", name)
				}
				look, err := film.Predict(w)
				if err != nil {
					t.Fatal(err)
				}
				own := look.Angles[0].Lab.LCh().H
				m := arm(t, Window, w)
				wide, high := m.Rect.Dx(), m.Rect.Dy()
				var bare []float64
				bright, odd := 0, 0
				for y := range high {
					for x := range wide / 2 {
						l, _, _ := pixel(m, x, y).Lab()
						bare = append(bare, 100*l)
					}
				}
				slices.Sort(bare)
				limit := bare[len(bare)*99/100]
				for y := range high {
					for x := wide / 2; x < wide; x++ {
						l, a, b := pixel(m, x, y).Lab()
						c := colour.Lab{L: 100 * l, A: 100 * a, B: 100 * b}
						if c.L > limit {
							bright++
							if c.Chroma() > 8 && math.Abs(colour.HueTurn(own, c.LCh().H)) > 50 {
								odd++
							}
						}
					}
				}
				spread, most := rowSpread(m)
				t.Logf("%s, %s: spread %.2f, %d bright, %d of another hue", s.Name, name, spread, bright, odd)
				if float64(odd) > 0.03*float64(bright) {
					t.Errorf("%s on %s: %d of %d bright pixels have another hue", name, s.Name, odd, bright)
				}
				if i == 0 && most >= 2.5 {
					t.Errorf("%s on %s: L* spreads up to %.2f within a row", name, s.Name, most)
				}
				if spread <= 1.1*last {
					t.Errorf("%s on %s spreads %.2f, the finer grade %.2f", name, s.Name, spread, last)
				}
				last = spread
			}
		}
	}
}

// rowSpread is the standard deviation of L* within a row of the worn half, its mean
// over the rows and the most of them.
func rowSpread(m *image.RGBA) (mean, most float64) {
	wide, high := m.Rect.Dx(), m.Rect.Dy()
	n := float64(wide - wide/2)
	for y := range high {
		sum, square := 0.0, 0.0
		for x := wide / 2; x < wide; x++ {
			l, _, _ := pixel(m, x, y).Lab()
			sum += 100 * l
			square += 1e4 * l * l
		}
		one := math.Sqrt(square/n - sum*sum/n/n)
		mean += one / float64(high)
		most = max(most, one)
	}
	return mean, most
}

// Satin stays a sheen, and the grades in order, in a picture of pixels finer than
// an eye tells apart.
func TestGradesInFinePixels(t *testing.T) {
	for _, name := range []string{"warm gold", "bronze"} {
		last := 0.0
		for i, grade := range []string{name + " satin", name, strings.Replace(name, "warm", "bright", 1) + " sparkle"} {
			spread, most := rowSpread(armOf(t, Window, worn(t, "dark", 1, map[string]float64{grade: 4}), 1200, 900))
			if i == 0 && most >= 2.5 {
				t.Errorf("%s: L* spreads up to %.2f within a row", grade, most)
			}
			if spread <= 1.1*last {
				t.Errorf("%s spreads %.2f, the finer grade %.2f", grade, spread, last)
			}
			last = spread
		}
	}
}

// Laid on full, where the sheen's edge is steepest, satin is a sheen too: what an eye
// runs together of the glints it runs together of the skin's relief.
func TestFullSatinInFinePixels(t *testing.T) {
	for _, name := range []string{"warm gold satin", "bronze satin"} {
		w := worn(t, "dark", 2, map[string]float64{name: 3})
		w.Tilt = film.TiltFor(2)
		for _, high := range []int{900, 1200} {
			if _, most := rowSpread(armOf(t, Window, w, high*3/2, high)); most >= 2.5 {
				t.Errorf("%s, %d rows: L* spreads up to %.2f within a row", name, high, most)
			}
		}
	}
}

// A fine powder does not take a coarse one's glints: along the limb the share of
// pixels 6 L* over their row goes up and down with the light as it does without the
// fine powder, which throws some light of its own and no points.
func TestCoarseGlintsBesideAFinePowder(t *testing.T) {
	const coarse, fine, bands = "deep gold sparkle", "warm gold satin", 15
	for _, tone := range []string{"light", "dark"} {
		for apply, least := range map[float64]float64{0.25: 0.8, 1: 2} {
			shares := func(parts map[string]float64) (share [bands]float64) {
				m := armOf(t, Window, worn(t, tone, apply, parts), 800, 300) // wide, for many glints in a band
				wide, high := m.Rect.Dx(), m.Rect.Dy()
				for y := range high {
					var row []float64
					for x := wide / 2; x < wide; x++ {
						l, _, _ := pixel(m, x, y).Lab()
						row = append(row, 100*l)
					}
					slices.Sort(row)
					over, _ := slices.BinarySearch(row, row[len(row)/2]+6)
					share[y*bands/high] += 100 * float64(len(row)-over) / float64(len(row)*high/bands)
				}
				return share
			}
			alone := shares(map[string]float64{coarse: 1.53})
			beside := shares(map[string]float64{coarse: 1.53, fine: 2.47})
			t.Logf("%s, %g mg/cm²: %.1f %% alone, %.1f %% beside %s", tone, apply, alone, beside, fine)
			for i, share := range beside {
				if alone[i] > least && share < 0.5*alone[i] {
					t.Errorf("%s, %g mg/cm², band %d of %d from the top: %.1f %% glint beside %s, %.1f %% without", tone, apply, i, bands, share, fine, alone[i])
				}
				if i > 0 && math.Abs(share-beside[i-1]) > 1+0.4*max(share, beside[i-1]) {
					t.Errorf("%s, %g mg/cm², band %d of %d from the top: %.1f %% glint, above it %.1f %%", tone, apply, i, bands, share, beside[i-1])
				}
			}
		}
	}
}
