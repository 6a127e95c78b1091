package shimmer

import (
	"image"
	"math"
	"slices"
	"testing"

	"tawny/blend/film"
)

// Every bright grade of the built-in drawer at 5 % and 1 mg/cm² is named as the trade
// names its size.
func TestGrainWords(t *testing.T) {
	p, err := drawer()
	if err != nil {
		t.Fatal(err)
	}
	for _, tone := range []string{"light", "brown"} {
		for _, name := range p.Names() {
			g, _ := p.Find(name)
			if !slices.Contains([]string{"silver", "champagne", "gold", "bronze", "copper"}, g.Family) || g.D90 < 14.5 && len(g.Layers) > 0 && g.Layers[0].ThicknessNM < 30 {
				continue // a weak interference colour or a thin veil shows less of its grain
			}
			want := "pearl"
			switch {
			case g.D50 < 12:
				want = "satin"
			case g.D50 > 50:
				want = "sparkle"
			}
			got, err := film.Glints(worn(t, tone, 1, map[string]float64{name: 5}))
			if err != nil {
				t.Fatal(err)
			}
			if got.Word != want {
				t.Errorf("%s (%g µm) on %s skin is %s at contrast %.2f, %.0f per cm²; want %s", name, g.D50, tone, got.Word, got.Contrast, got.PerCM2, want)
			}
		}
	}
}

// The contrast is what a picture of the film shows: the spread of spots over
// their mean. A glint spills over the finest spot an eye tells apart, so spots of
// twelve times its breadth are cut from a large flat picture, which spread a twelfth
// as much.
func TestGrainIsThePicturesContrast(t *testing.T) {
	w := worn(t, "light", 1, blends["gold pearl"])
	f, err := Of(w)
	if err != nil {
		t.Fatal(err)
	}
	want, err := film.Glints(w)
	if err != nil {
		t.Fatal(err)
	}
	// Square spots of the same area, 12 × 12 pixels.
	const n, breadth = 1200, 12
	p, err := Render(f, measured(3, 15), Options{Width: n, Height: n, MMPerPixel: film.SpotMM * math.Sqrt(math.Pi/4), Seed: 11})
	if err != nil {
		t.Fatal(err)
	}
	sum, square := 0.0, 0.0
	for y := 0; y < n; y += breadth {
		for x := 0; x < n; x += breadth {
			v := 0.0
			for j := range breadth {
				for i := range breadth {
					q := p.Pix[3*((y+j)*n+x+i):]
					v += 0.2126*float64(q[0]) + 0.7152*float64(q[1]) + 0.0722*float64(q[2])
				}
			}
			sum += v
			square += v * v
		}
	}
	const spots = n * n / breadth / breadth
	mean := sum / spots
	got := breadth * math.Sqrt(square/spots-mean*mean) / mean
	if got > want.Contrast*1.05 || got < want.Contrast*0.8 {
		t.Errorf("the picture's contrast is %.2f, the grain's %.2f", got, want.Contrast)
	}
	t.Logf("the picture's contrast is %.2f, the grain's %.2f", got, want.Contrast)
}

// However hot, a glint is a point that falls off from its middle: in pixels finer than
// an eye's spot, on dark skin, what is half as bright as its middle is under two and a
// half spots across, and there is no flat top a whole spot wide.
func TestHotGlintIsAPoint(t *testing.T) {
	const side, mm = 61, 0.038
	for _, hot := range []float64{1, 30, 1000} { // times a perfect diffuser in the middle
		r := &renderer{o: Options{Width: side, Height: side}, spread: spreadAt(mm), p: &Picture{Width: side, Height: side, Pix: make([]float32, 3*side*side)}}
		for i := range r.p.Pix {
			r.p.Pix[i] = 0.1
		}
		light := hot * math.Pi * r.spread.alpha * r.spread.alpha
		l := float32(light * r.spread.shown(light))
		r.splat(side/2+0.5, side/2, 0.5, 0, side, r.spread.foot(l), r.spread.kernels[r.spread.foot(l)], [3]float32{l, l, l})
		r.p.tone(litKnee)
		m := image.NewRGBA(image.Rect(0, 0, side, side))
		r.p.onto(m, 0)
		at := func(x int) float64 { return float64(m.RGBAAt(x, side/2).G) }
		half, flat := 0, 0
		for x := range side {
			if at(x) > (at(0)+at(side/2))/2 {
				half++
			}
			if at(x) > at(side/2)-3 { // about 1 L*
				flat++
			}
		}
		t.Logf("%g: half as bright over %.2f mm, flat over %.2f", hot, float64(half)*mm, float64(flat)*mm)
		if float64(half)*mm > 2.5*spotMM || float64(flat)*mm > spotMM {
			t.Errorf("%g times a diffuser: half as bright over %.2f mm, flat over %.2f; a spot is %.2f", hot, float64(half)*mm, float64(flat)*mm, spotMM)
		}
	}
}

// A coloured glint far beyond a screen is nearly white in its middle and coloured round
// that, as an eye or a camera has it; a faint one is not.
func TestHotGlintHasAWhiteCore(t *testing.T) {
	const side, mm = 41, 0.038
	for _, c := range []struct {
		hot   float64 // times a perfect diffuser in the middle
		white bool
	}{{0.5, false}, {30, true}} {
		r := &renderer{o: Options{Width: side, Height: side}, spread: spreadAt(mm), p: &Picture{Width: side, Height: side, Pix: make([]float32, 3*side*side)},
			toned: true, white: [3]float32{1, 1, 1}}
		light := c.hot * math.Pi * r.spread.alpha * r.spread.alpha
		r.glint(side/2+0.5, side/2, 0.5, 0, side, 1, &rgb{light, 0.8 * light, 0.3 * light})
		r.p.tone(litKnee)
		m := image.NewRGBA(image.Rect(0, 0, side, side))
		r.p.onto(m, 0)
		ratio := func(x int) float64 { at := m.RGBAAt(x, side/2); return float64(at.B) / float64(at.R) }
		middle, rim := ratio(side/2), ratio(side/2+int(r.spread.alpha)+1)
		if white := middle > 0.85 && rim < 0.75; white != c.white {
			t.Errorf("a glint of %g: blue over red %.2f in the middle, %.2f at its rim", c.hot, middle, rim)
		}
	}
}
