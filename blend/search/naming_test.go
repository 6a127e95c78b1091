package search

import (
	"strings"
	"testing"

	"tawny/blend/film"
	"tawny/colour/skin"
)

// Worn alone, every powder of the six families that shades are asked by looks as
// its family is called, on every preset at 1 to 4 %. One built-in gold does not:
// old gold, whose thick coat of titanium and iron oxide gleams russet.
func TestPowdersLookAsTheirFamilyIsCalled(t *testing.T) {
	words := map[string]string{"silver": "silver", "champagne": "champagne", "gold": "gold", "rose": "rose", "bronze": "bronze", "copper": "copper"}
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
