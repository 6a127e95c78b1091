package jar

import (
	"math"
	"slices"
	"strings"
	"sync"
	"testing"

	"tawny/blend/drawdown"
	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
)

var drawer = sync.OnceValues(func() (*palette.Drawer, error) { return palette.Builtin(film.DefaultIndex) })

func builtin(t *testing.T, name string) *palette.Pigment {
	t.Helper()
	d, err := drawer()
	if err != nil {
		t.Fatal(err)
	}
	p, err := d.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func names(list []palette.Ingredient) string {
	var out []string
	for _, i := range list {
		out = append(out, i.INCI)
	}
	return strings.Join(out, ";")
}

// Labels as suppliers print them: brackets, numbers by themselves, headings,
// "may contain", shares and ranges.
func TestParse(t *testing.T) {
	for text, want := range map[string][2]string{
		"Mica, Titanium Dioxide, Iron Oxides":                                        {"Mica;Titanium Dioxide;Iron Oxides", ""},
		"INCI: Mica (CI 77019), Titanium Dioxide (CI 77891), Iron Oxides (CI 77491)": {"Mica;Titanium Dioxide;Iron Oxides", "CI 77019;CI 77891;CI 77491"},
		"CI 77019, CI 77891, ci77861 tin oxide":                                      {"Mica;Titanium Dioxide;tin oxide", "CI 77019;CI 77891;CI 77861"},
		"Ingredients: MICA; TIN OXIDE. +/- CI 77491":                                 {"MICA;TIN OXIDE;Iron Oxides", "CI 77491"},
		"Mica, CI 77891, [+/- CI 77491]":                                             {"Mica;Titanium Dioxide;Iron Oxides", "CI 77891;CI 77491"},
		"Mica [CI 77019], Silica, may contain: Iron Oxides (CI 77492)":               {"Mica;Silica;Iron Oxides", "CI 77019;CI 77492"},
		"Mica (and) Titanium Dioxide (and) Tin Oxide":                                {"Mica;Titanium Dioxide;Tin Oxide", ""},
		"Mica + Titanium Dioxide & Iron Oxides":                                      {"Mica;Titanium Dioxide;Iron Oxides", ""},
		"Mica, Titanium Dioxide, D&C Red 33":                                         {"Mica;Titanium Dioxide;D&C Red 33", ""},
		"Mica & FD&C Red No. 40 Aluminum Lake & D & C Red 6 (CI 15850), D&C Red 99":  {"Mica;FD&C Red No. 40 Aluminum Lake;D&C Red 6;D&C Red 99", "CI 15850"},
		"Mica/TiO2":                                                {"Mica;Titanium Dioxide", ""},
		"Mica, Caprylic/Capric Triglyceride":                       {"Mica;Caprylic/Capric Triglyceride", ""},
		"Mica 60-70 %, Titanium Dioxide 30-40 %":                   {"Mica;Titanium Dioxide", ""},
		"Synthetic Fluorphlogopite / Titanium Dioxide / Tin Oxide": {"Synthetic Fluorphlogopite;Titanium Dioxide;Tin Oxide", ""},
	} {
		l, err := Parse(text, "")
		if err != nil || names(l.INCI) != want[0] || strings.Join(l.CI, ";") != want[1] {
			t.Errorf("%q: %q %q, %v", text, names(l.INCI), l.CI, err)
		}
	}
	if l, err := Parse("Mica 59,4 %, Titanium Dioxide 40,1-40,9%", ""); err != nil || names(l.INCI) != "Mica;Titanium Dioxide" || l.INCI[0].Percent != 59.4 {
		t.Errorf("decimal commas: %+v, %v", l, err)
	}
	if l, err := Parse("Mica (52,5-60 %), CI 77891 (38-45 %), CI 77491 (0–2 %)", ""); err != nil || names(l.INCI) != "Mica;Titanium Dioxide;Iron Oxides" || l.INCI[0].Percent != 56.25 || l.INCI[1].Percent != 41.5 || l.INCI[2].Percent != 1 || len(l.Unknown()) > 0 {
		t.Errorf("shares in brackets: %+v, %v", l, err)
	}
	for _, c := range [][2]string{{"", ""}, {"Mica", "red"}, {"a=b=c", ""}, {"mica titanium dioxide", ""}} {
		if l, err := Parse(c[0], c[1]); err == nil {
			t.Errorf("%q is read as %+v", c, l)
		}
	}
	if l, err := Parse("", "77019; 77891"); err != nil || names(l.INCI) != "Mica;Titanium Dioxide" {
		t.Errorf("numbers alone: %+v, %v", l, err)
	}
}

// The label decides the coat: of the built-in powders each label allows just
// those of its own substances.
func TestAllows(t *testing.T) {
	for label, want := range map[string]map[string]bool{
		"Mica, Titanium Dioxide, Tin Oxide":   {"pale gold": true, "rose gleam": true, "warm gold": false, "bronze": false, "titanium white": false, "clear mica": false},
		"Mica, Titanium Dioxide, Iron Oxides": {"warm gold": true, "apricot": true, "pale gold": false, "bronze": false, "red oxide": false},
		"Mica, Iron Oxides":                   {"bronze": true, "copper": true, "warm gold": false},
		"Mica":                                {"clear mica": true, "pale gold": false},
		"Titanium Dioxide":                    {"titanium white": true, "silver white": false},
		"Iron Oxides (CI 77492)":              {"yellow oxide": true, "red oxide": false, "bronze": false},
		"CI 77499, Dimethicone, Silica":       {"black oxide": true},
		"CI 77492, CI 77891":                  {"yellow oxide": false, "titanium white": false},

		"Polyethylene Terephthalate, Aluminum, CI 77491": {"red oxide": false, "bronze": false},
		"Polyethylene Terephthalate, CI 77491":           {"red oxide": false},
	} {
		l, err := Parse(label, "")
		if err != nil {
			t.Fatal(err)
		}
		for name, allowed := range want {
			if l.Allows(builtin(t, name)) != allowed {
				t.Errorf("%s: %s allowed %t", label, name, !allowed)
			}
		}
	}
}

// Estimated shares are those of the built-in drawer, which are worked out from
// the same coats by another program (DEVELOPERS.md), to 1.5 %; every one is marked, and they
// make 100.
func TestShares(t *testing.T) {
	for _, name := range []string{"pale gold", "bronze", "deep gold", "champagne satin", "copper sparkle"} {
		p := builtin(t, name)
		var text []string
		for _, i := range p.INCI {
			text = append(text, i.INCI)
		}
		l, err := Parse(strings.Join(text, ", "), "")
		if err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for i, got := range l.Shares(p) {
			sum += got.Percent
			if want := p.INCI[i].Percent; !got.Estimated || math.Abs(got.Percent-want) > 1.5 {
				t.Errorf("%s: %s %g, %g in the drawer", name, got.INCI, got.Percent, want)
			}
		}
		if math.Abs(sum-100) > 1e-9 {
			t.Errorf("%s: shares make %g", name, sum)
		}
	}
	l, _ := Parse("Mica 60 %, Titanium Dioxide 40 %", "")
	if s := l.Shares(builtin(t, "pale gold")); s[0].Percent != 60 || s[0].Estimated {
		t.Errorf("printed shares became %+v", s)
	}
}

// Iron oxides named are never without a number; over 100 µm is for the body.
func TestNumbersAndAreas(t *testing.T) {
	l, err := Parse("Mica, Titanium Dioxide, Iron Oxides", "")
	if err != nil {
		t.Fatal(err)
	}
	if n, guessed := l.Numbers(); strings.Join(n, ";") != "CI 77019;CI 77891;CI 77491" || guessed != "CI 77491" {
		t.Errorf("%q guessed %q", n, guessed)
	}
	if a := l.Areas(60); len(a) != 3 {
		t.Errorf("60 µm: %q", a)
	}
	if a := l.Areas(150); len(a) != 1 || a[0] != palette.Body {
		t.Errorf("150 µm: %q", a)
	}
	l, _ = Parse("Mica, Titanium Dioxide, Chromium Oxide Greens", "")
	if a := l.Areas(60); len(a) != 2 { // 21 CFR 73.2327: not the lips
		t.Errorf("chromium oxide: %q", a)
	}
}

// usual is how the trade's powders of each look are over black, hue in degrees and
// least chroma, and of whites the most (from memory of shade cards; interference
// colours by order as in Pfaff and Reynders, Chem. Rev. 1999).
var usual = map[string]struct{ from, to, least, most float64 }{
	"clear mica": {0, 360, 0, 6}, "silver white": {0, 360, 0, 6}, "soft silver": {0, 360, 0, 6}, "silver white sparkle": {0, 360, 0, 6},
	"champagne": {60, 120, 4, 20}, "pale gold": {85, 115, 10, 60}, "straw gold": {85, 115, 20, 60}, "bright gold": {80, 105, 20, 60}, "bright gold sparkle": {80, 105, 20, 60},
	"amber gold": {60, 95, 20, 60}, "warm gold": {65, 95, 15, 60}, "deep gold": {55, 90, 15, 60}, "old gold": {35, 75, 15, 60},
	"apricot": {40, 75, 8, 40}, "bronze": {45, 75, 20, 60}, "bronze sparkle": {45, 75, 20, 60}, "copper": {40, 70, 20, 60}, "copper sparkle": {40, 70, 20, 60},
	"fox": {30, 65, 20, 60}, "mulberry": {5, 50, 20, 60}, "rose gleam": {340, 390, 12, 60}, "violet gleam": {280, 335, 20, 70},
	"blue gleam": {225, 285, 15, 60}, "sea gleam": {170, 235, 12, 60}, "green gleam": {110, 170, 12, 60}, "green gleam sparkle": {110, 170, 12, 60},
}

// Every word looks as it is called, in each size, by a label of its own substances;
// and by one that names iron oxides beside titania, which the words for
// interference colours are most sold with.
func TestWordsLookAsTheyAreCalled(t *testing.T) {
	both, err := Parse("Mica, Titanium Dioxide, Tin Oxide, Iron Oxides", "")
	if err != nil {
		t.Fatal(err)
	}
	satin, pearl, sparkle := [3]float64{5, 11, 25}, [3]float64{10, 24, 60}, [3]float64{30, 67, 150}
	check := func(said string, label *Label, size [3]float64) {
		want, known := usual[said]
		if !known {
			t.Errorf("no usual look of %s", said)
			return
		}
		w := Powder{Label: label, Alike: []*palette.Pigment{builtin(t, said)}, Size: size}
		like, off, err := w.Like()
		if err != nil {
			t.Errorf("%s %v: %v", said, size, err)
			return
		}
		g := Graded(like, size)
		if err := (&palette.Drawer{Pigments: []*palette.Pigment{g}}).ComputeOptics(film.DefaultIndex); err != nil {
			t.Fatal(err)
		}
		look, err := film.Predict(film.Worn{Ground: film.Ground{Reflectance: colour.Constant(0.05)},
			Parts: []film.Part{{Pigment: g, Percent: 10}}, Apply: 3, Base: film.Base{Index: film.DefaultIndex}})
		if err != nil {
			t.Fatal(err)
		}
		c := look.Lab.LCh()
		t.Logf("%-20s %-26s %2.0f to %3.0f µm: C* %2.0f, hue %3.0f, ΔE00 %.0f from the word", said, flake.FormatLayers(g.Layers), size[0], size[2], c.C, c.H, off)
		hue := c.H
		if hue < want.from {
			hue += 360
		}
		if hue > want.to || c.C < want.least || c.C > want.most {
			t.Errorf("%s %v: L* %.0f C* %.0f, hue %.0f; want C* %g to %g, hue %g to %g", said, size, c.L, c.C, c.H, want.least, want.most, want.from, want.to)
		}
	}
	done := map[string]bool{"titanium white": true, "black oxide": true} // which are no shimmers
	for _, said := range words() {
		if !done[said] {
			done[said] = true
			for _, size := range [][3]float64{satin, pearl, sparkle} {
				check(said, nil, size)
			}
		}
	}
	for _, said := range []string{"rose gleam", "bright gold", "violet gleam", "silver white", "blue gleam", "copper"} {
		check(said, both, sparkle)
	}
	check("rose gleam", both, satin)
	check("bright gold", both, satin)
}

// Every word stands for a powder there is, and white for no opaque one.
func TestWords(t *testing.T) {
	for word, name := range words() {
		if builtin(t, name) == nil {
			t.Error(word)
		}
	}
	for text, want := range map[string]string{"Rose gold no. 7": "rose gold", "WHITE shimmer": "white", "deep-gold": "deep gold", "Goldilocks": "", "": ""} {
		if got, _ := Word(text); got != want {
			t.Errorf("%q is %q", text, got)
		}
	}
	for _, w := range []string{"pink", "brown", "peach", "glitter", "white"} {
		if p := PowderOf(w); p == "" || builtin(t, p).Substrate == 0 {
			t.Errorf("%s is %q", w, p)
		}
	}
}

// A mica sold as black is so by its label: of black iron oxide, dark over white card
// too, and without a hue. Of red iron oxide or of titania none is.
func TestBlackMica(t *testing.T) {
	for inci, ok := range map[string]bool{
		"Mica, Iron Oxides": true, "Mica, CI 77499": true, "Mica, Titanium Dioxide, Iron Oxides (CI 77499)": true,
		"Mica, CI 77491": false, "Mica, CI 77491, CI 77499": false, "Mica, Titanium Dioxide, Tin Oxide": false,
	} {
		label, err := Parse(inci, "")
		if err != nil {
			t.Fatal(err)
		}
		w := Powder{Label: label, Alike: []*palette.Pigment{builtin(t, "black oxide")}, Said: "black", Size: [3]float64{10, 24, 60}}
		like, _, err := w.Like()
		if (err == nil) != ok {
			t.Errorf("%s: %v", inci, err)
		}
		if err != nil {
			continue
		}
		if numbers, _ := label.Numbers(); !slices.Contains(numbers, "CI 77499") || slices.Contains(numbers, "CI 77491") {
			t.Errorf("%s: numbers %v", inci, numbers)
		}
		s, err := drawdown.NewSmear(colour.Reading{Viewing: colour.D65, Geometry: colour.At45})
		if err != nil {
			t.Fatal(err)
		}
		if err := s.On(colour.Constant(WhiteCard + s.Mirror())); err != nil {
			t.Fatal(err)
		}
		lab, err := s.Look(like.Flake(film.DefaultIndex), 2)
		if c := lab.LCh(); err != nil || c.L > 30 || c.C > 10 {
			t.Errorf("%s: L* %.0f, C* %.0f; %v", inci, c.L, c.C, err)
		}
	}
}

// The hue of a name goes before its lustre, however long the word for that.
func TestWordTakesTheColour(t *testing.T) {
	for text, want := range map[string]string{"rose pearl": "rose", "Pearl Rose": "rose", "pearl": "pearl", "white glitter": "white glitter", "pale gold pearl": "pale gold", "glitter": "glitter"} {
		if word, _ := Word(text); word != want {
			t.Errorf("%q is taken as %q, not %q", text, word, want)
		}
	}
}

// Numbers are read as jars print them, and a substance nobody knows is told and
// keeps the powder off eyes and lips.
func TestUnknownSubstance(t *testing.T) {
	for _, ci := range []string{"77019/77891/77491", "77019 77891 77491", "CI 77019 / CI 77891, 77491"} {
		l, err := Parse("Mica, Titanium Dioxide, Iron Oxides", ci)
		if err != nil || strings.Join(l.CI, " ") != "CI 77019 CI 77891 CI 77491" || len(l.Unknown()) > 0 || len(l.Areas(60)) != 3 {
			t.Errorf("%s: %+v, %v", ci, l, err)
		}
	}
	l, err := Parse("Mica, Titanium Dioxide, D&C Red 33", "")
	if numbers, _ := l.Numbers(); err != nil || len(l.Unknown()) > 0 || strings.Join(numbers, " ") != "CI 77019 CI 77891 CI 17200" || len(l.Areas(60)) != 2 {
		t.Errorf("a certified dye: %+v, %v", l, err)
	}
	l, err = Parse("Mica, Titanium Dioxide, Moondust", "")
	if err != nil || strings.Join(l.Unknown(), " ") != "Moondust" || len(l.Areas(60)) != 1 {
		t.Errorf("%+v, %v", l, err)
	}
}
