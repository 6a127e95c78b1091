package job

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tawny/blend/drawdown"
	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/jar"
	"tawny/blend/palette"
	"tawny/colour"
)

// The colour of a smear gives the coat back: golds, a bronze and a blue, each read
// in another geometry and the first in all of them, to a nanometre of the coat
// that made it.
func TestAddFindsTheCoat(t *testing.T) {
	worst := 0.0
	for i, c := range []struct{ like, coat string }{
		{"pale gold", "rutile:61"}, {"pale gold", "rutile:72"}, {"gold", "rutile:79"}, {"silver white", "rutile:44"},
		{"bronze", "hematite:38"}, {"bronze", "hematite:47"}, {"blue gleam", "rutile:113"}, {"blue gleam", "rutile:128"},
	} {
		for j, read := range colour.Geometries {
			if i > 0 && i%len(colour.Geometries) != j {
				continue
			}
			coats, err := flake.ParseLayers(c.coat)
			if err != nil {
				t.Fatal(err)
			}
			s, err := desk.smeared("black", colour.Reading{Viewing: colour.D65, Geometry: read})
			if err != nil {
				t.Fatal(err)
			}
			lab, err := s.Look(flake.New(coats...), 0.6)
			if err != nil {
				t.Fatal(err)
			}
			r, err := Add(desk, AddInput{Name: "x", Like: c.like, Colour: colour.Reading{Lab: lab, Viewing: colour.D65, Geometry: read}.String()})
			if err != nil {
				t.Errorf("%s: %v", c.coat, err)
				continue
			}
			got, err := flake.ParseLayers(r.Coat)
			if err != nil {
				t.Fatal(err)
			}
			off := math.Abs(got[0].ThicknessNM - coats[0].ThicknessNM)
			worst = math.Max(worst, off)
			if off > 1 || r.DeltaE00 > 0.3 {
				t.Errorf("%s, %s: found %s, ΔE00 %.2f", c.coat, read, r.Coat, r.DeltaE00)
			}
		}
	}
	t.Logf("coats found to %.1f nm", worst)
}

// The demo photo's smear is 72 nm of rutile (demo_photo_test.go).
func TestAddFromPhoto(t *testing.T) {
	dir := t.TempDir()
	drawerFile := filepath.Join(dir, "drawer.csv")
	in := AddInput{Name: "gold smear", Like: "gold", Size: "10-60", Drawer: drawerFile, Photo: demoPhoto("500,280,160,160")}
	r, err := Add(desk, in)
	if err != nil {
		t.Fatal(err)
	}
	got, err := flake.ParseLayers(r.Coat)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("72 nm found as %s from a JPEG", r.Coat)
	if math.Abs(got[0].ThicknessNM-72) > 3 || !r.Added.New {
		t.Errorf("%+v", r)
	}
	p, err := desk.OpenDrawer(drawerFile, film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	if g := p.Pigments[0]; g.Source != palette.Guessed || g.D10 != 10 || g.D90 != 60 || math.Abs(g.D50-math.Sqrt(600)) > 1e-4 {
		t.Errorf("%+v", g)
	}
	// fit takes its place later.
	file := filepath.Join(dir, "d.csv")
	drawing{powder: powderOf(t, "straw gold"), like: "", loads: []float64{0.05, 0.1, 0.2}, keys: []string{"powder: gold smear"}}.write(t, file)
	data, _ := os.ReadFile(file)
	os.WriteFile(file, []byte(strings.Replace(string(data), "# like: \n", "", 1)), 0o644)
	if _, err := Fit(desk, FitInput{File: file, Add: true, Replace: true, Drawer: drawerFile}); err != nil {
		t.Fatal(err)
	}
	if p, err = desk.OpenDrawer(drawerFile, film.DefaultIndex); err != nil || len(p.Pigments) != 1 || p.Pigments[0].Source != palette.Measured || p.Pigments[0].D90 != 60 || p.Pigments[0].Optics.FaceArea == 0 {
		t.Errorf("after fit: %+v, %v", p.Pigments[0], err)
	}
}

// Of a family, the powder whose coat can have the colour is taken: a gold that
// rutile alone cannot give has iron oxide in it.
func TestAddFindsThePowderOfAFamily(t *testing.T) {
	for colour, want := range map[string]string{"lab:75.8,-6.4,26.1/de": "rutile:7", "lab:45,14,30/de": "+hematite:"} {
		r, err := Add(desk, AddInput{Name: "x", Like: "gold", Colour: colour})
		if err != nil || !strings.Contains(r.Coat, want) || r.DeltaE00 > 1 {
			t.Errorf("%s: %+v, %v", colour, r, err)
		}
		if !strings.Contains(r.Coat, "+") != (want == "rutile:7") {
			t.Errorf("%s: %s", colour, r.Coat)
		}
	}
}

func TestGrade(t *testing.T) {
	for text, want := range map[string][3]float64{
		"10-60": {10, math.Sqrt(600), 60}, "10 - 60 µm": {10, math.Sqrt(600), 60}, "10 - 60 microns": {10, math.Sqrt(600), 60}, "5–25um": {5, math.Sqrt(125), 25}, "10-24-55": {10, 24, 55}, "< 14 µm": {4, math.Sqrt(56), 14},
	} {
		a, b, c, err := drawdown.ParseGrade(text)
		if err != nil || a != want[0] || math.Abs(b-want[1]) > 1e-12 || c != want[2] {
			t.Errorf("%q: %g %g %g, %v", text, a, b, c, err)
		}
	}
	for _, text := range []string{"", "60", "60-10", "10-10", "a-b", "10-60-20", "-10-60-70-80", "0-10", "1-NaN", "<", "<0", "<10-20"} {
		if a, b, c, err := drawdown.ParseGrade(text); err == nil {
			t.Errorf("%q gave %g %g %g", text, a, b, c)
		}
	}
}

func TestAddRefuses(t *testing.T) {
	drawerFile := filepath.Join(t.TempDir(), "drawer.csv")
	for _, c := range []struct {
		in   AddInput
		want string
	}{
		{AddInput{Name: "x"}, "{inci}"},
		{AddInput{Like: "gold"}, "{name} \"\": 1 to 60 characters are accepted, such as"},
		{AddInput{Name: "x", Like: "gald"}, "did you mean \"gold\""},
		{AddInput{Name: "x", Like: "quartz"}, "or a family"},
		{AddInput{Name: "x", Like: "gold", Size: "big"}, "{size} \"big\"; sizes in µm"},
		{AddInput{Name: "x", Like: "gold", Colour: "#0000ff"}, "no coat like"},
		{AddInput{Name: "x", Like: "gold", Colour: "grass"}, "not understood"},
		{AddInput{Name: "x", Like: "gold", Colour: "lab:70,0,30", Photo: PhotoInput{File: "x.jpg"}}, "both given"},
		{AddInput{Name: "x", Like: "gold", Colour: "lab:70,0,30", On: "grass"}, "smeared on"},
		{AddInput{Name: "x", Like: "gold", Colour: "lab:70,0,30", On: "lab:50,0,0/de"}, "one kind"},
		{AddInput{Name: "x", Like: "gold", Photo: PhotoInput{File: "none.jpg"}}, "no such file"},
		{AddInput{Name: "x", Like: "red oxide", Colour: "lab:40,30,20"}, "no coated flake"},
		{AddInput{Name: "x", Like: "clear mica", Colour: "lab:60,0,0"}, "no coat to fit"},
		{AddInput{Name: "x", INCI: "Mica, Titanum Dioxide", Colour: "rose"}, "no coat is known of Titanum Dioxide"},
		{AddInput{Name: "a,b", Like: "gold", Drawer: drawerFile}, "name"},
		{AddInput{Name: "a,b", Like: "gold"}, "{name} \"a,b\": no commas"},
		{AddInput{Name: strings.Repeat("金", 61), Like: "gold", Drawer: drawerFile}, "1 to 60 characters"},
	} {
		if r, err := Add(desk, c.in); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("want %q, got %+v, %v", c.want, r, err)
		}
	}
	if desk.isFile(drawerFile) {
		t.Error("a refused powder made a drawer")
	}
}

// What a maker reads has no field in braces, and no letters of the theory.
func TestAddSpeaksPlainly(t *testing.T) {
	for _, in := range []AddInput{
		{Name: "x", INCI: "Mica, Titanium Dioxide, Iron Oxides", Colour: "rose", Size: "30-150"},
		{Name: "x", Like: "gold"},
		{Name: "x", Like: "red oxide", Size: "0.2-1"},
	} {
		r, err := Add(desk, in)
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range r.Notes {
			if strings.ContainsAny(n, "{}") || strings.Contains(n, "K and S") {
				t.Errorf("%+v: %s", in, n)
			}
		}
	}
}

// The name it proposes is one it takes, and letters are counted, not bytes.
func TestAddTakesTheNameItProposes(t *testing.T) {
	drawerFile := filepath.Join(t.TempDir(), "drawer.csv")
	for _, name := range []string{nameHint, strings.Repeat("金", 25)} {
		if _, err := Add(desk, AddInput{Name: name, Like: "pale gold", Drawer: drawerFile}); err != nil {
			t.Errorf("%q: %v", name, err)
		}
	}
}

// One colour does not tell a size: without a grade the family's middle one is
// assumed and said, also where a sparkle's coat comes nearest.
func TestAddAssumesTheMiddleGrade(t *testing.T) {
	for _, c := range []string{"", "lab:75.8,-6.4,26.1/de", "lab:45,16,34/de", "lab:58,4,34/de"} {
		r, err := Add(desk, AddInput{Name: "x", Like: "gold", Colour: c})
		if err != nil {
			t.Errorf("%q: %v", c, err)
			continue
		}
		if r.Grade != [3]float64{10, 24, 55} || r.Substrate != 400 || !strings.Contains(strings.Join(r.Notes, " "), "no size was given") {
			t.Errorf("%q: like %s, grade %v on %g nm, notes %q", c, r.Like, r.Grade, r.Substrate, r.Notes)
		}
	}
	// A powder named has its own grade, and a grade given is nobody's guess.
	for _, in := range []AddInput{{Name: "x", Like: "bright gold sparkle"}, {Name: "x", Like: "gold", Size: "28-62-118"}} {
		r, err := Add(desk, in)
		if err != nil || r.Grade != [3]float64{28, 62, 118} || strings.Contains(strings.Join(r.Notes, " "), "no size") {
			t.Errorf("%+v: %+v, %v", in, r, err)
		}
	}
}

// A grade changes nothing of an ordinary pigment's colour, which is said.
func TestAddSaysWhatAGradeDoesNot(t *testing.T) {
	r, err := Add(desk, AddInput{Name: "x", Like: "red oxide", Size: "0.2-1"})
	if err != nil || r.Grade[0] != 0.2 || !strings.Contains(strings.Join(r.Notes, " "), "the colour stays that of red oxide") {
		t.Errorf("%+v, %v", r, err)
	}
}

// An ordinary pigment is taken over with its spectrum beside the drawer.
func TestAddOrdinary(t *testing.T) {
	drawerFile := filepath.Join(t.TempDir(), "drawer.csv")
	r, err := Add(desk, AddInput{Name: "my red", Like: "red oxide", Drawer: drawerFile, Grams: 30})
	if err != nil {
		t.Fatal(err)
	}
	p, err := desk.OpenDrawer(drawerFile, film.DefaultIndex)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ inci, colour, said string }{
		{"Iron Oxides (CI 77499)", "black", ""}, {"Iron Oxides", "black", ""}, {"Iron Oxides (CI 77499)", "bronze", "the colour bronze was not used"},
	} {
		if r, err := Add(desk, AddInput{Name: "x", INCI: c.inci, Colour: c.colour}); err != nil || r.Like != "black oxide" || !strings.HasPrefix(r.Words[0], c.said) || c.said == "" && len(r.Words) > 1 {
			t.Errorf("%+v: %+v, %v", c, r, err)
		}
	}
	want, g := powderOf(t, "red oxide"), p.Pigments[0]
	if !desk.isFile(r.Added.Spectrum) || colour.RMS(&g.Optics.K, &want.K) > 1e-4 || g.Optics.Flake || g.StockG != 30 || g.Source != palette.Guessed {
		t.Errorf("%+v", g)
	}
}

// Over black and over white together the coat and the mass come back, of two
// coats too, where over black alone another pair of coats would do.
func TestAddOverBothGrounds(t *testing.T) {
	for _, coat := range []string{"rutile:70", "rutile:58+hematite:7", "rutile:62+hematite:5", "hematite:46"} {
		coats, err := flake.ParseLayers(coat)
		if err != nil {
			t.Fatal(err)
		}
		in := AddInput{Name: "x"}
		if in.INCI = "Mica, Tin Oxide, Titanium Dioxide"; strings.Contains(coat, "hematite") {
			in.INCI = "Mica, Tin Oxide, Titanium Dioxide, Iron Oxides"
		}
		if coat == "hematite:46" {
			in.INCI = "Mica, Iron Oxides"
		}
		for ground, to := range map[string]*string{"black": &in.Colour, "white": &in.White} {
			s, err := desk.smeared(ground, colour.Reading{Viewing: colour.D65, Geometry: colour.At45})
			if err != nil {
				t.Fatal(err)
			}
			lab, err := s.Look(flake.New(coats...), 0.5)
			if err != nil {
				t.Fatal(err)
			}
			*to = colour.Reading{Lab: lab, Viewing: colour.D65, Geometry: colour.At45}.String()
		}
		r, err := Add(desk, in)
		if err != nil {
			t.Errorf("%s: %v", coat, err)
			continue
		}
		t.Logf("%s found as %s, %.2f mg/cm², ΔE00 %.2f", coat, r.Coat, r.SmearMg, r.DeltaE00)
		got, err := flake.ParseLayers(r.Coat)
		if err != nil || len(got) != len(coats) || r.DeltaE00 > 1 {
			t.Errorf("%s: %+v, %v", coat, r, err)
			continue
		}
		for i := range got {
			if math.Abs(got[i].ThicknessNM-coats[i].ThicknessNM) > 3 {
				t.Errorf("%s: found as %s", coat, r.Coat)
			}
		}
	}
}

// A jar's label: the coat is of its substances only, whatever it is said to be
// like, and its INCI and numbers reach the drawer as given.
func TestAddByLabel(t *testing.T) {
	for _, c := range []struct {
		in          AddInput
		coat, areas string
	}{
		{AddInput{INCI: "Mica, Titanium Dioxide, Iron Oxides", Size: "30-150", Colour: "rose"}, "anatase+hematite", "body"},
		{AddInput{INCI: "Mica, Titanium Dioxide, Tin Oxide", Size: "10-60", Like: "white"}, "rutile", "body;eyes;lips"},
		{AddInput{INCI: "Mica, Titanium Dioxide", Size: "10-60", Like: "bronze"}, "anatase", "body;eyes;lips"},
		{AddInput{INCI: "Mica, Titanium Dioxide, Iron Oxides", Size: "30-150", Colour: "gold", Areas: "body, eyes"}, "anatase+hematite", "body;eyes"},
		{AddInput{INCI: "Mica, Titanium Dioxide, Iron Oxides", Colour: "#e0a0a0"}, "anatase+hematite", "body;eyes;lips"},
		{AddInput{INCI: "Mica, Iron Oxides", Colour: "lab:45,22,25/de"}, "hematite", "body;eyes;lips"},
	} {
		c.in.Name, c.in.Drawer = "from the jar", filepath.Join(t.TempDir(), "drawer.csv")
		r, err := Add(desk, c.in)
		if err != nil {
			t.Errorf("%+v: %v", c.in, err)
			continue
		}
		p, err := desk.OpenDrawer(c.in.Drawer, film.DefaultIndex)
		if err != nil {
			t.Fatal(err)
		}
		g := p.Pigments[0]
		var materials, inci []string
		for _, l := range g.Layers {
			materials = append(materials, l.Material)
		}
		for _, i := range g.INCI {
			inci = append(inci, i.INCI)
		}
		if strings.Join(materials, "+") != c.coat || strings.Join(spelt(g.Areas), ";") != c.areas || strings.Join(inci, ", ") != c.in.INCI {
			t.Errorf("%+v: %q %q %q", c.in, materials, g.Areas, inci)
		}
		if strings.Contains(c.in.INCI, "Iron") && !strings.Contains(strings.Join(g.CI, " "), "77491") {
			t.Errorf("%+v: numbers %q", c.in, g.CI)
		}
		if g.Doubt != r.CoatDoubt || r.CoatDoubt < jar.SmearDoubt || r.Doubt < 0.5 || r.Doubt < r.DeltaE00 {
			t.Errorf("%+v: doubt %g, ΔE00 %g", c.in, r.CoatDoubt, r.Doubt)
		}
	}
	for _, c := range []struct {
		in   AddInput
		want string
	}{
		{AddInput{Name: "x", INCI: "Carmine", Colour: "red"}, "ordinary pigment"},
		{AddInput{Name: "x", INCI: "Polyethylene Terephthalate, Aluminum, CI 77491", Colour: "gold", Size: "200-400"}, "no mica, and no one ordinary pigment"},
		{AddInput{Name: "x", INCI: "CI 77492, CI 77891", Colour: "cream"}, "no mica, and no one ordinary pigment"},
		{AddInput{Name: "x", INCI: "Iron Oxides (CI 77499)", Colour: "grass"}, "or a word: amber"},
		{AddInput{Name: "x", INCI: "Mica, Iron Oxides", Like: "pale gold"}, "no coat of the label's substances"},
		{AddInput{Name: "x", INCI: "Mica, Iron Oxides"}, "nothing says its colour"},
		{AddInput{Name: "x", INCI: "Mica", CI: "red", Colour: "rose"}, "no colour index number"},
		{AddInput{Name: "x", INCI: "Mica, Iron Oxides", Colour: "bronze", Areas: "feet"}, "{areas}"},
		{AddInput{Name: "x", INCI: "Mica, Iron Oxides", Colour: "rose"}, "nearer the look of rose gleam"},
		{AddInput{Name: "x", INCI: "Mica, Iron Oxides", Colour: "opaque white"}, "an ordinary pigment, and the label's are flakes"},
	} {
		if r, err := Add(desk, c.in); !errors.Is(err, ErrInput) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("want %q, got %+v, %v", c.want, r, err)
		}
	}
}

// Beside a drawer of one's own the built-in powders are chosen from where that is
// asked for, and judged as those of a drawer are; a substance nobody knows goes in once
// that is asked for too, and the last powder taken out leaves no drawer behind.
func TestOwnDrawerBesideTheBuiltIn(t *testing.T) {
	drawerFile := filepath.Join(t.TempDir(), "drawer.csv")
	in := AddInput{Name: "rose pearl", INCI: "Mica, Titanium Dioxide, Moondust", CI: "77019/77891", Size: "10-60", Drawer: drawerFile, Paid: 10, Grams: 25}
	if _, err := Add(desk, in); FieldOf(err) != "yes" || desk.isFile(drawerFile) {
		t.Fatalf("a substance nobody knows: %v", err)
	}
	in.Sure = true
	r, err := Add(desk, in)
	if err != nil || strings.Join(r.Areas, " ") != "body" || r.Like != "rose gleam" || r.Doubt > 20 || !strings.Contains(r.Row, ",0.4,25,") {
		t.Fatalf("%+v, %v", r, err)
	}
	ask := Input{Skin: "tan", Target: "bronze", Load: 4, Most: 2, Drawer: drawerFile, env: desk}
	for also, want := range map[bool]bool{false: false, true: true} {
		ask.AlsoBuiltin = also
		m, err := Match(t.Context(), ask, nil)
		if err != nil {
			t.Fatal(err)
		}
		if got := m.Blends[0].DeltaE00 < 1; got != want {
			t.Errorf("with the built-in powders %v: off by %.2f", also, m.Blends[0].DeltaE00)
		}
	}
	d := NewDoc(Find("drawer remove"))
	for field, text := range map[string]string{"powder": "rose pearl", "drawer": drawerFile, "yes": "true"} {
		if err := d.Put(field, text); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := d.Do(t.Context(), desk); err != nil || desk.isFile(drawerFile) {
		t.Errorf("taken out: %v", err)
	}
}

// A powder of which no label is given is for the body, whatever it is like; a dye's
// number that the rules do not let near the eye keeps it away from there.
func TestAreasNeedALabel(t *testing.T) {
	for want, in := range map[string]AddInput{
		"body":           {Name: "mine", Colour: "pink"},
		"body lips":      {Name: "mine", Colour: "pink", INCI: "Mica, Titanium Dioxide, CI 15850"},
		"body eyes lips": {Name: "mine", Colour: "pink", INCI: "Mica, Titanium Dioxide"},
	} {
		r, err := Add(desk, in)
		if err != nil || strings.Join(r.Areas, " ") != want {
			t.Errorf("%s %s: %v, %v", in.Colour, in.INCI, r, err)
		}
	}
}

// A word nobody knows is named where the label makes no coat, with what is meant.
func TestAMisspeltSubstanceIsNamed(t *testing.T) {
	for word, want := range map[string]string{"Titanum Dioxide": "\"Titanum Dioxide\": is Titanium Dioxide meant?", "Titanium Dioxyde": "is Titanium Dioxide meant?", "Moondust": "\"Moondust\": is it spelt as on the jar?"} {
		if _, err := Add(desk, AddInput{Name: "mine", Colour: "rose", INCI: "Mica, " + word + ", Iron Oxide"}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", word, err, want)
		}
	}
	r, err := Add(desk, AddInput{Name: "mine", Colour: "bronze", INCI: "Mica, Titanium Dioxide, Iron Oxides, Tin Oxyde"})
	if err != nil || !strings.Contains(strings.Join(r.Notes, " "), "\"Tin Oxyde\": is tin oxide meant?") {
		t.Errorf("%v, %v", r, err)
	}
}
