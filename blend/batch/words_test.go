package batch

import (
	"encoding/json"
	"strings"
	"testing"

	"tawny/blend/palette"
)

// Every base, worn anywhere, with powders and without, is told whole: no
// placeholder is left empty and no name is lost.
func TestWordsAreWhole(t *testing.T) {
	bs := Builtin()
	scent := &Scent{Name: "Demo scent", Percent: 1.5, MaxPercent: 1, Allergens: []Allergen{{"Linalool", 20}, {"Butylphenyl Methylpropional", 1}}}
	for _, base := range bs {
		for _, parts := range [][]Part{nil, {{demoGold(), 4}}, {{demoGold(), 11}, {demoRed(), 0.02}}} {
			for _, area := range []palette.Area{palette.Body, palette.Eyes, palette.Lips} {
				b, err := Scale(Request{Base: base, Containers: 6, ContainerML: 50, Parts: parts, Area: area, Scent: scent})
				if err != nil {
					t.Fatal(err)
				}
				raw, err := json.Marshal(b)
				if err != nil {
					t.Fatal(err)
				}
				for _, bad := range []string{"no value", "%!", "{{", "<nil>"} {
					if strings.Contains(string(raw), bad) {
						t.Errorf("%s on %s says %q", base.Name, area, bad)
					}
				}
				for _, s := range b.Steps {
					if s.Title == "" || len(s.Do) == 0 {
						t.Errorf("%s: step %d says nothing: %+v", base.Name, s.Number, s)
					}
				}
			}
		}
	}
}

// A name that looks like one of the words' own marks stays a name.
func TestNamesAreNoMarks(t *testing.T) {
	for _, kind := range []string{"everyday-lotion", "silk-body-oil", "bought-white-lotion"} {
		plainly := scaled(t, kind, Part{demoGold(), 3}, Part{demoRed(), 0.02})
		base := mustFind(t, kind)
		base.Ingredients = append([]Ingredient(nil), base.Ingredients...)
		for i := range base.Ingredients {
			base.Ingredients[i].Name += "\n# a | b: c\n+ water"
		}
		gold, red := demoGold(), demoRed()
		gold.Name, red.Name = "? gold\n# x", "min 1 2\n°C 3 4"
		b, err := Scale(Request{Base: base, Grams: 500, Code: "E\nnote: 7", Closure: "cap\n# lid", Parts: []Part{{gold, 3}, {red, 0.02}}, Scent: &Scent{Name: "Demo scent", Percent: 0.5, MaxPercent: 1}})
		if err != nil {
			t.Fatal(err)
		}
		if len(b.Steps) != len(plainly.Steps) || len(b.Cautions) != len(plainly.Cautions) || len(b.Label.EU.Notes) != len(plainly.Label.EU.Notes) || len(b.Findings) != len(plainly.Findings) {
			t.Errorf("%s: %d steps for %d, %d cautions for %d, %d notes for %d, %d findings for %d", kind, len(b.Steps), len(plainly.Steps),
				len(b.Cautions), len(plainly.Cautions), len(b.Label.EU.Notes), len(plainly.Label.EU.Notes), len(b.Findings), len(plainly.Findings))
		}
		for i, s := range b.Steps {
			if s.Title != plainly.Steps[i].Title || len(s.Do) != len(plainly.Steps[i].Do) || s.TempC != plainly.Steps[i].TempC {
				t.Errorf("%s: step %+v, with plain names %+v", kind, s, plainly.Steps[i])
			}
		}
	}
}
