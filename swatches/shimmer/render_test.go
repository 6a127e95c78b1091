package shimmer

import (
	"image"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/lucasb-eyer/go-colorful"
	"gonum.org/v1/gonum/stat"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/colour"
	"tawny/colour/skin"
)

// render pictures a film in a scene, before its brightest glints are toned down.
func render(f *Film, s Scene, o Options) *Picture {
	r := newRenderer(f, s, o)
	r.draw()
	return r.p
}

// blends are invented, from fine to coarse.
var blends = map[string]map[string]float64{
	"gold pearl":   {"bright gold": 4, "champagne": 1},
	"bronze glint": {"bronze sparkle": 3, "deep gold sparkle": 2},
	"warm satin":   {"warm gold satin": 4, "satin veil": 1},
	"with oxides":  {"bright gold": 3, "red iron oxide": 0.4},
}

// A flat patch under the key light alone has, on average and before anything
// is clipped, the colour that the film model predicts for that direction.
func TestMeanIsTheModelsColour(t *testing.T) {
	for name, parts := range blends {
		for _, tone := range []string{"light", "dark"} {
			w := worn(t, tone, 1, parts)
			look, err := film.Predict(w)
			if err != nil {
				t.Fatal(err)
			}
			f, err := Of(w)
			if err != nil {
				t.Fatal(err)
			}
			for i, a := range flake.Aspecular {
				// 40 × 40 mm; coarse flakes far from the mirror angle need
				// more skin to be many.
				o := Options{Width: 400, Height: 400, MMPerPixel: 0.1, Seed: 7}
				s := measured(3, a)
				if n := glintsPerCM2(f, s); n*16 < 8000 {
					o.MMPerPixel = math.Sqrt(8000/(n+1e-9)) / 400 * 10
				}
				if o.MMPerPixel > 50 {
					continue // fewer than ten glints in a square metre
				}
				p, err := Render(f, s, o)
				if err != nil {
					t.Fatal(err)
				}
				got := labOf(p.Picture)
				r := look.Angles[i].Reflectance
				for j := range r { // the picture's light is without what skin's own surface throws sideways
					r[j] -= skin.HazeShare * colour.Fresnel(skin.SurfaceIndex, math.Sqrt2/2)
				}
				model := colour.D65.Lab(&r)
				if de := colour.DeltaE00(got, model); de > 0.5 {
					t.Errorf("%s on %s skin at %g°: mean %.2f, model %.2f, ΔE00 %.2f (%.0f glints)",
						name, tone, a, got, model, de, p.Drawn)
				}
				if p.Expected >= 4000 && math.Abs(p.Drawn/p.Expected-1) > 0.05 {
					t.Errorf("%s at %g°: %.0f glints drawn, %.0f expected", name, a, p.Drawn, p.Expected)
				}
			}
		}
	}
}

// labOf is the mean colour of a picture.
func labOf(p *Picture) colour.Lab {
	l, a, b := colorful.LinearRgb(p.Mean()).Lab()
	return colour.Lab{L: l * 100, A: a * 100, B: b * 100}
}

// The number of glints is that of the formula written out by hand:
// N = n D(β) cosβ Ω / (4 n² cosθ_loc), with the angles of the 15° view
// inside a binder of index 1.47 (28.75° in, 19.89° out, tilt 4.43°, local
// 24.32°), and the cones of lamp and eye aslant narrower in it by the law of
// refraction, cos 45°/cos 28.75° and cos 30°/cos 19.89°.
func TestGlintCountByHand(t *testing.T) {
	const perCM2, d, sigma, lamp = 200000.0, 20.0, 10.0, 3.0
	f := &Film{TiltDeg: sigma, Flakes: []Flakes{{PerCM2: perCM2, Size: film.Size{D50: d}, Beams: alike(0.2)}}}
	rad := math.Pi / 180
	s := math.Hypot(math.Tan(sigma*rad), lamp*rad/(4*1.47)) // as wide as the lamp shows it
	tilt, local := 4.43*rad, 24.32*rad
	density := math.Exp(-math.Pow(math.Tan(tilt), 2)/(2*s*s)) / (2 * math.Pi * s * s * math.Pow(math.Cos(tilt), 4))
	omega := math.Pi * (math.Pow(lamp*rad, 2)*math.Cos(45*rad)/math.Cos(28.75*rad) + math.Pow(0.004, 2)*math.Cos(30*rad)/math.Cos(19.89*rad) + math.Pow(0.55/d, 2))
	want := perCM2 * density * math.Cos(tilt) * omega / (4 * 1.47 * 1.47 * math.Cos(local))
	scene := measured(lamp, 15)
	got := glintsPerCM2(f, scene)
	if math.Abs(got/want-1) > 1e-3 {
		t.Errorf("%.1f glints in a cm², by hand %.1f", got, want)
	}
	// Seen at 30° a picture of 50 × 50 mm shows 25/cos 30° cm² of skin.
	p, err := Render(f, scene, Options{Width: 500, Height: 500, MMPerPixel: 0.1, Seed: 3})
	if err != nil {
		t.Fatal(err)
	}
	theory := want * 25 / math.Cos(30*rad)
	if theory < 4000 || math.Abs(p.Drawn/theory-1) > 0.05 {
		t.Errorf("%.0f glints drawn, %.0f by hand", p.Drawn, theory)
	}
}

// The picture is the same whoever draws it, and another under another seed.
func TestSameSeedSamePicture(t *testing.T) {
	f, err := Of(worn(t, "intermediate", 1, blends["gold pearl"]))
	if err != nil {
		t.Fatal(err)
	}
	draw := func(seed uint64, workers int) []float32 {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(workers))
		p, err := Render(f, Window.Scene(), Options{Width: 120, Height: 133, Seed: seed})
		if err != nil {
			t.Fatal(err)
		}
		return p.Pix
	}
	one := draw(1, 1)
	for _, workers := range []int{2, 3, 16} {
		if !slices.Equal(one, draw(1, workers)) {
			t.Errorf("%d workers draw another picture", workers)
		}
	}
	if slices.Equal(one, draw(2, 1)) {
		t.Error("another seed draws the same picture")
	}
}

// Where there are too many glints to tell apart, part of them is added as an
// even light; the mean and the count must not notice.
func TestManyGlintsKeepTheMean(t *testing.T) {
	f := &Film{TiltDeg: 8, Flakes: []Flakes{{PerCM2: 5e7, Size: film.Size{D10: 4, D50: 8, D90: 14}, Beams: alike(0.3)}}}
	s := measured(0, 15)
	p, err := Render(f, s, Options{Width: 100, Height: 100, MMPerPixel: 0.2, Seed: 5})
	if err != nil {
		t.Fatal(err)
	}
	if per := p.Expected / 1e4; per < 10*spreadAt(0.2).perPixel() {
		t.Fatalf("only %.0f glints in a pixel: the case does not test what it should", per)
	}
	lobe, _ := geometry(vector{0, 0, 1}, across(45), across(aspecularEye(15)), laid(film.DefaultIndex, 8), Gloss{})
	r, g, b := p.Mean()
	for _, x := range []float64{r, g, b} {
		if math.Abs(x/(0.3*lobe.weight)-1) > 0.005 {
			t.Errorf("mean %.4f, film's %.4f", x, 0.3*lobe.weight)
		}
	}
	if math.Abs(p.Drawn/p.Expected-1) > 0.05 {
		t.Errorf("%.0f glints drawn, %.0f expected", p.Drawn, p.Expected)
	}
}

// The drawing loop allocates nothing for each pixel or glint.
func TestNoAllocationPerPixel(t *testing.T) {
	f, err := Of(worn(t, "intermediate", 1, blends["gold pearl"]))
	if err != nil {
		t.Fatal(err)
	}
	allocs := func(width int) float64 {
		return testing.AllocsPerRun(3, func() {
			if _, err := Render(f, Window.Scene(), Options{Width: width, Height: 64}); err != nil {
				t.Fatal(err)
			}
		})
	}
	if small, large := allocs(16), allocs(400); large > small {
		t.Errorf("%.0f allocations at 16 pixels across, %.0f at 400", small, large)
	}
}

func TestWhatCannotBePictured(t *testing.T) {
	for want, o := range map[string]Options{"pixels": {Height: 4}, "mm to a pixel": {Width: 4, Height: 4, MMPerPixel: -1}} {
		if _, err := Arm([]*Film{{}}, Window.Scene(), o); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want an error with %q, got %v", want, err)
		}
	}
	w := worn(t, "tan", 1, blends["gold pearl"])
	bare := *w.Parts[0].Pigment
	bare.Optics.FaceArea = 0
	w.Parts[0].Pigment = &bare
	if _, err := Of(w); err == nil || !strings.Contains(err.Error(), "face area") {
		t.Errorf("a powder without face area gives %v", err)
	}
}

// A seam that is feathered changes nothing beyond it, runs from the one film to
// the other, and wanders in its own way; one that is not is a line.
func TestSeamIsFeathered(t *testing.T) {
	plain := func(v float64) *Film { return &Film{Reading: colour.Constant(v), Even: colour.Constant(v)} }
	const width, mm = 200, 0.2
	arm := func(feather float64) *image.RGBA {
		m, err := Arm([]*Film{plain(0.2), plain(0.6)}, Even.Scene(), Options{Width: width, Height: 120, MMPerPixel: mm, FeatherMM: feather})
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	hard, soft := arm(0), arm(4)
	for y := range 120 {
		if a, b := hard.RGBAAt(width/2-1, y).G, hard.RGBAAt(width/2, y).G; int(b)-int(a) < 60 {
			t.Fatalf("row %d: a plain seam goes from %d to %d", y, a, b)
		}
		for x := range width {
			if away := math.Abs(float64(x) + 0.5 - width/2); away > 2/mm && soft.RGBAAt(x, y) != hard.RGBAAt(x, y) {
				t.Fatalf("%d, %d changes, %.1f mm from the seam", x, y, away*mm)
			}
			if x > width/2-10 && x < width/2+10 && int(soft.RGBAAt(x, y).G) < int(soft.RGBAAt(x-1, y).G)-8 {
				t.Errorf("row %d darkens towards the lighter film at %d", y, x)
			}
		}
	}
	edge := func(seed uint64) (at []float64) {
		const high, wide = 400, 60
		p, before := &Picture{Width: wide, Height: high, MMPerPixel: mm, Pix: make([]float32, 3*wide*high)}, &Picture{Width: wide, Pix: make([]float32, 3*wide*high)}
		for i := range p.Pix {
			p.Pix[i] = 1
		}
		p.feather(before, wide, seed)
		for y := range high {
			row := p.Pix[3*y*wide : 3*(y+1)*wide]
			x := 0
			for row[3*x] < 0.5 {
				x++
			}
			at = append(at, float64(x))
		}
		return at
	}
	seams := [][]float64{edge(1), edge(2), edge(3)}
	for i, seam := range seams {
		if wander := slices.Max(seam) - slices.Min(seam); wander < 5 {
			t.Errorf("seam %d wanders over %g of 60 pixels", i, wander)
		}
		if r := stat.Correlation(seam, seams[(i+1)%3], nil); math.Abs(r) > 0.6 {
			t.Errorf("seams %d and %d are %.2f alike", i, (i+1)%3, r)
		}
	}
}

// A film's surface that tilts with its flakes has a broader, weaker gloss.
func TestTiltedSurfaceShowsInTheGloss(t *testing.T) {
	w := worn(t, "dark", 2, blends["gold pearl"])
	peak := func(share float64) (most float64) {
		w.SurfaceShare = share
		f, err := Of(w)
		if err != nil {
			t.Fatal(err)
		}
		f.Flakes, f.Even, f.Reading = nil, colour.Spectrum{}, colour.Spectrum{}
		l := newLight(f, Lamp.Scene(), colour.D65, laid(f.Index, f.TiltDeg))
		for deg := -60.0; deg < 60; deg++ {
			most = max(most, l.at(deg).base[1])
		}
		return most
	}
	if flat, tilted := peak(0), peak(0.8); tilted > 0.95*flat {
		t.Errorf("the brightest gloss is %.4f over a flat surface and %.4f over a tilted one", flat, tilted)
	}
}

// alike is a beam of one reflectance at every angle.
func alike(share float64) [3]colour.Spectrum {
	c := colour.Constant(share)
	return [3]colour.Spectrum{c, c, c}
}
