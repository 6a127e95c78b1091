package flake

import (
	"math"
	"testing"

	"tawny/colour"
)

func look(t *testing.T, f Flake, average string) colour.LCh {
	t.Helper()
	var r colour.Spectrum
	var err error
	if average == "incoming" {
		r, _, _, err = f.Incoming()
	} else {
		r, _, _, err = f.At(0)
	}
	if err != nil {
		t.Fatal(err)
	}
	return colour.D65.Lab(&r).LCh()
}

// hueGap is the distance of two hues in degrees.
func hueGap(a, b float64) float64 {
	d := math.Mod(math.Abs(a-b), 360)
	return min(d, 360-d)
}

// Hue of reflected light in degrees under D65 from an independent trial
// calculation: titania of index 2.61 at 589 nm on 400 ± 100 nm mica in a
// binder of 1.47, coats without spread, at 0° and over the incoming light.
// Three to five degrees is what the mixture's dispersion and the mica's spread
// leave open. At 90 nm gold turns to violet within 5 nm of coat, so hue there
// is held only loosely.
func TestTrialHues(t *testing.T) {
	for _, c := range []struct{ nm, normal, incoming, within float64 }{
		{70, 100, 103, 3}, {80, 85, 91, 3}, {90, 2, 42, 8}, {100, 320, 326, 3},
		{110, 298, 308, 3}, {120, 258, 275, 4}, {130, 220, 237, 4}, {150, 134, 153, 4},
	} {
		f := New(Layer{"rutile", c.nm})
		f.CoatSpread = 0
		if h := look(t, f, "normal").H; hueGap(h, c.normal) > c.within {
			t.Errorf("rutile %g nm at 0°: hue %.1f, want %g ± %g", c.nm, h, c.normal, c.within)
		}
		if h := look(t, f, "incoming").H; hueGap(h, c.incoming) > c.within {
			t.Errorf("rutile %g nm, incoming light: hue %.1f, want %g ± %g", c.nm, h, c.incoming, c.within)
		}
	}
	f := New(Layer{"rutile", 50})
	if c := look(t, f, "normal").C; c >= 5 {
		t.Errorf("rutile 50 nm: C* %.1f, want under 5", c)
	}
}

// The published colours of titania on mica with coat thickness, seen along the
// mirror direction (Pfaff & Reynders, Chem. Rev. 99 (1999) 1963, from memory):
// silver 40–60 nm, yellow-gold 60–80, red 80–100, blue 100–140, green 120–160.
// Each range must hold its hue at its middle, and the colours must follow each
// other without turning back.
func TestPublishedTitaniaSeries(t *testing.T) {
	for _, c := range []struct {
		name               string
		nm                 float64
		hueFrom, hueTo     float64
		chromaMin, chrMax  float64
		alsoOver, overUpTo float64 // nm over which the same hue window holds
	}{
		{"silver", 50, 0, 360, 0, 5, 50, 50},
		{"yellow-gold", 70, 75, 106, 25, 60, 67, 78},
		{"red", 90, 320, 30, 25, 80, 88, 92},
		{"blue", 120, 230, 300, 35, 80, 110, 126},
		{"green", 145, 120, 190, 25, 60, 140, 152},
	} {
		for _, nm := range []float64{c.alsoOver, c.nm, c.overUpTo} {
			l := look(t, New(Layer{"rutile", nm}), "normal")
			inside := l.H >= c.hueFrom && l.H <= c.hueTo
			if c.hueFrom > c.hueTo {
				inside = l.H >= c.hueFrom || l.H <= c.hueTo
			}
			if !inside || l.C < c.chromaMin || l.C > c.chrMax {
				t.Errorf("rutile %g nm: L* %.0f C* %.1f h %.0f, want %s (h %g to %g, C* %g to %g)",
					nm, l.L, l.C, l.H, c.name, c.hueFrom, c.hueTo, c.chromaMin, c.chrMax)
			}
		}
	}
	// Silver: the whole published range stays pale.
	for nm := 42.0; nm <= 58; nm += 2 {
		if l := look(t, New(Layer{"rutile", nm}), "normal"); l.C > 13 || l.L < 65 {
			t.Errorf("rutile %g nm: L* %.0f C* %.1f, want pale and light", nm, l.L, l.C)
		}
	}
	last := look(t, New(Layer{"rutile", 62}), "normal").H
	for nm := 64.0; nm <= 160; nm += 2 {
		h := look(t, New(Layer{"rutile", nm}), "normal").H
		if step := math.Mod(last-h+360, 360); step > 180 {
			t.Errorf("rutile %g nm: hue %.1f after %.1f turns back", nm, h, last)
		}
		last = h
	}
}

// Hematite on mica (same source, from memory): bronze 35–45 nm, copper 45–55,
// red 55–65, red-violet 65–75. What a flake mirrors at 0° is less red than the
// powder in bulk, whose light has also crossed other flakes; the windows are
// for the mirrored light.
func TestPublishedHematiteSeries(t *testing.T) {
	for _, c := range []struct {
		name           string
		from, to       float64
		hueMin, hueMax float64
		chromaMin      float64
	}{
		{"bronze", 35, 45, 70, 82, 10},
		{"copper", 45, 55, 60, 76, 17},
		{"red", 55, 65, 40, 68, 24},
		{"red-violet", 65, 75, 5, 50, 25},
	} {
		for _, nm := range []float64{c.from, (c.from + c.to) / 2, c.to} {
			l := look(t, New(Layer{"hematite", nm}), "normal")
			if l.H < c.hueMin || l.H > c.hueMax || l.C < c.chromaMin {
				t.Errorf("hematite %g nm: L* %.0f C* %.1f h %.0f, want %s (h %g to %g, C* over %g)",
					nm, l.L, l.C, l.H, c.name, c.hueMin, c.hueMax, c.chromaMin)
			}
		}
	}
	last := 360.0
	for nm := 30.0; nm <= 76; nm += 2 {
		h := look(t, New(Layer{"hematite", nm}), "normal").H
		if h >= last {
			t.Errorf("hematite %g nm: hue %.1f after %.1f; it must redden steadily", nm, h, last)
		}
		last = h
	}
}

// A uniform powder is purer in colour than one of uneven coats.
func TestCoatSpreadMutes(t *testing.T) {
	for _, nm := range []float64{75, 100, 125, 150} {
		f := New(Layer{"rutile", nm})
		even, uneven := f, f
		even.CoatSpread, uneven.CoatSpread = 0, 0.15
		e, m, u := look(t, even, "normal").C, look(t, f, "normal").C, look(t, uneven, "normal").C
		if !(e > m && m > u) {
			t.Errorf("rutile %g nm: C* %.1f, %.1f, %.1f for spreads 0, 0.05, 0.15; want falling", nm, e, m, u)
		}
	}
}

// Light returned within the film meets flakes more slantwise: gold washes out.
func TestReturnedLightIsPaler(t *testing.T) {
	f := New(Layer{"rutile", 75})
	in, _, _, err := f.Incoming()
	if err != nil {
		t.Fatal(err)
	}
	p, err := f.prepare()
	if err != nil {
		t.Fatal(err)
	}
	back, _ := p.average(cosines(1, 150))
	a, b := colour.D65.Lab(&in).LCh(), colour.D65.Lab(&back).LCh()
	if !(b.C < 0.8*a.C && b.L > a.L) {
		t.Errorf("incoming L* %.1f C* %.1f, returned L* %.1f C* %.1f; want the latter lighter and paler", a.L, a.C, b.L, b.C)
	}
}
