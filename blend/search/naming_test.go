package search

import (
	"strings"
	"testing"

	"tawny/blend/film"
	"tawny/colour/skin"
)

// Worn alone, every powder of the seven families that shades are asked by looks as
// its family is called, on every preset at 1 to 4 %. One built-in gold does not:
// old gold, whose thick coat of titanium and iron oxide gleams russet.
func TestPowdersLookAsTheirFamilyIsCalled(t *testing.T) {
	words := map[string]string{"silver": "silver", "champagne": "champagne", "gold": "gold", "rose": "rose", "bronze": "bronze", "copper": "copper", "peach": "peach"}
	met := map[string]int{}
	for _, g := range drawer(t).Pigments {
		want, ok := words[g.Family]
		if !ok || !g.Optics.Flake {
			continue
		}
		family := g.Family
		if g.Name == "old gold" {
			want, family = "russet", "fox"
		}
		grade := "pearl" // the trade's: a powder's own name tells another
		for _, other := range []string{"satin", "sparkle"} {
			if strings.Contains(g.Name, other) {
				grade = other
			}
		}
		names := map[string]bool{}
		for _, s := range skin.Presets() {
			for _, load := range [3]float64{1, 2, 4} {
				l, err := LookOf(film.Worn{
					Ground: film.Ground{Reflectance: s.Reflectance, Geometry: s.Reading.Geometry},
					Parts:  []film.Part{{Pigment: g, Percent: load}}, Apply: DefaultApply,
				})
				if err != nil {
					t.Fatal(err)
				}
				colour, _, _ := strings.Cut(l.Name, ",")
				colour = strings.TrimSuffix(colour, " "+l.Grade)
				names[colour] = true
				if l.Grade != grade {
					t.Errorf("%s at %g %% on %s is of the grade %s", g.Name, load, s.Name, l.Grade)
				}
				if l.GleamWord == film.NoGleam && l.Contrast > 1.05 && !strings.Contains(l.Name, "glints") {
					t.Errorf("%s at %g %% on %s is called %q, and its flakes are seen", g.Name, load, s.Name, l.Name)
				}
				if !strings.HasSuffix(colour, want) || l.Light != family {
					t.Errorf("%s at %g %% on %s is called %q, its light %q", g.Name, load, s.Name, l.Name, l.Light)
				}
			}
		}
		met[g.Family]++
		t.Logf("%-10s %-20s %v", g.Family, g.Name, names)
	}
	if len(met) != len(words) {
		t.Errorf("powders of %v only", met)
	}
}

// A light is not called deep, which is a shade's word: a soft rose was answered so.
func TestLightIsNotDeep(t *testing.T) {
	d := drawer(t)
	var parts []film.Part
	for name, percent := range map[string]float64{"clear mica": 1.7, "fox": 0.7, "satin veil": 0.6} {
		g, err := d.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		parts = append(parts, film.Part{Pigment: g, Percent: percent})
	}
	for _, s := range skin.Presets() {
		l, err := LookOf(film.Worn{Ground: film.Ground{Reflectance: s.Reflectance, Geometry: s.Reading.Geometry}, Parts: parts, Apply: DefaultApply})
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(l.Name, "pale coral rose ") {
			t.Errorf("on %s it is called %q", s.Name, l.Name)
		}
	}
}

// A look is named by the colour an eye sees in the light, whether the gleam or a tint
// makes it: cards a client looked at, and what they are called.
func TestNamedByTheColourSeen(t *testing.T) {
	d := drawer(t)
	for _, card := range []struct {
		skin  string
		parts map[string]float64
		want  string
	}{
		{"tan", map[string]float64{"yellow oxide": 2.01, "apricot": 0.99}, "gold pearl"},                               // ochre
		{"dark", map[string]float64{"clear mica": 1.87, "red oxide": 1, "amber gold": 0.13}, "russet pearl"},           // maroon
		{"very light", map[string]float64{"satin veil": 2.26, "red oxide": 0.4, "mulberry": 0.34}, "rose satin"},       // rose pink
		{"light", map[string]float64{"satin veil": 2.69, "mulberry": 1.16, "black oxide": 0.15}, "pale rose satin"},    // orchid pink
		{"light", map[string]float64{"apricot": 2.42, "fox": 1.03, "titanium white": 0.55}, "pale rose pearl"},         // pale pink
		{"light", map[string]float64{"warm gold": 2.87, "bright gold": 0.84, "yellow oxide": 0.29}, "warm gold pearl"}, // gold
		{"tan", map[string]float64{"apricot": 1.64, "titanium white": 1, "mulberry": 0.36}, "rose pearl"},              // peach
		{"tan", map[string]float64{"silver white satin": 1.45, "titanium white": 1, "apricot": 0.55}, "silver satin"},  // pearl
		{"dark", map[string]float64{"satin veil": 3}, "lilac silver satin"},                                            // lavender grey
		{"tan", map[string]float64{"silver white": 2, "yellow oxide": 0.05}, "silver pearl"},                           // a trace of ochre
		{"light", map[string]float64{"rose gleam": 1.5, "yellow oxide": 1.5}, "bronze pearl"},                          // dark ochre under a rose gleam
		{"light", map[string]float64{"bright gold": 3, "titanium white": 0.5, "red oxide": 0.02}, "gold pearl"},        // a trace of red
	} {
		var parts []film.Part
		for name, percent := range card.parts {
			g, err := d.Find(name)
			if err != nil {
				t.Fatal(err)
			}
			parts = append(parts, film.Part{Pigment: g, Percent: percent})
		}
		s, err := skin.Find(card.skin)
		if err != nil {
			t.Fatal(err)
		}
		l, err := LookOf(film.Worn{Ground: film.Ground{Reflectance: s.Reflectance, Geometry: s.Reading.Geometry}, Parts: parts, Apply: DefaultApply})
		if err != nil {
			t.Fatal(err)
		}
		if name, _, _ := strings.Cut(l.Name, ","); name != card.want {
			t.Errorf("%v on %s is called %q, not %q", card.parts, card.skin, name, card.want)
		}
	}
}
