package batch

import (
	"math"
	"slices"
	"strings"
	"testing"

	"tawny/colour/table"
)

// A maker's own lines, by commas, lines, grams, brackets, bullets, a decimal
// comma and "to 100".
func TestParseRecipe(t *testing.T) {
	for text, want := range map[string]struct {
		kind  Kind
		heatC float64
		parts map[string]float64
	}{
		"water 70 %, glycerin 4, emulsifying wax 5, sunflower oil 20, phenoxyethanol and ethylhexylglycerin 1":          {Lotion, 70, map[string]float64{"water": 70, "emulsifying wax": 5}},
		"Kitchen:\nwater to 100\n- 4 % of glycerine\n* beeswax 2,5\nalmond oil: 20 %\nGlyceryl stearate SE 4\npH 5-5.5": {Lotion, 70, map[string]float64{"water": 69.5, "beeswax": 2.5, "glycerine": 4}},
		"Water phase: water 75 %, glycerin 4; Oil phase: shea butter 5%, almond oil 10\ncool-down phase: tocopherol 6":  {Lotion, 70, map[string]float64{"shea butter": 5, "almond oil": 10, "tocopherol": 6}},
		"70 g castor oil; 25 g MCT oil; 5 g carnauba wax":                                                               {Oil, 90, map[string]float64{"castor oil": 70, "carnauba wax": 5}},
		"jojoba 90, my thing (Octyldodecanol) 10, kind: mist":                                                           {Oil, 0, map[string]float64{"my thing": 10}},
		"alcohol 75, water 20, glycerin 5":                                                                              {Spray, 0, map[string]float64{"alcohol": 75}},
	} {
		text = strings.Replace(text, "Kitchen:\n", "name: Kitchen\n", 1)
		text = strings.Replace(text, ", kind: mist", "", 1)
		b, err := ParseRecipe(text, "mine.txt")
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		if b.Kind != want.kind || b.HeatC.Low != want.heatC || math.Abs(b.Sum()-100) > 1e-9 {
			t.Errorf("%q: %s, heated to %v, sum %g", text, b.Kind, b.HeatC, b.Sum())
		}
		for name, percent := range want.parts {
			i := b.filler(name)
			if i < 0 || math.Abs(b.Ingredients[i].Percent-percent) > 1e-9 {
				t.Errorf("%q: %s is not %g in %+v", text, name, percent, b.Ingredients)
			}
		}
		var out strings.Builder
		if err := WriteBase(&out, b); err != nil {
			t.Error(err)
		}
		if again, err := ReadBase(strings.NewReader(out.String()), "again.csv"); err != nil || again.Sum() != b.Sum() || again.HeatC != b.HeatC {
			t.Errorf("%q written and read: %v", text, err)
		}
		if _, err := Scale(Request{Base: b, Grams: 200}); err != nil {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// A recipe is refused or is a base that reads back from its file.
func FuzzParseRecipe(f *testing.F) {
	f.Add("water 70 %, glycerin 4, emulsifying wax 6, jojoba 19, phenoxyethanol and ethylhexylglycerin 1")
	f.Add("water to 100\njojoba 20 g; vitamin E 1,5")
	f.Add("&")
	f.Add("=")
	f.Fuzz(func(t *testing.T, text string) {
		text, err := table.Text("mine.txt", strings.NewReader(text), table.MaxBytes)
		if err != nil {
			return
		}
		b, err := ParseRecipe(text, "mine.txt")
		if err != nil {
			return
		}
		var out strings.Builder
		if err := WriteBase(&out, b); err != nil {
			t.Fatal(err)
		}
		if again, err := ReadBase(strings.NewReader(out.String()), "again.csv"); err != nil || again.Sum() != b.Sum() {
			t.Errorf("%q written and read: %v", text, err)
		}
	})
}

// What is wrong names the line and what would be accepted.
func TestParseRecipeFaults(t *testing.T) {
	for text, want := range map[string]string{
		"water 90\nglycerin 4\nemulsifing wax 6":         `mine.txt:3: "emulsifing wax" is not known; is Emulsifying wax meant?`,
		"water 90\nglycerin\njojoba 4":                   `mine.txt:2: "glycerin" has no amount`,
		"water to 100, glycerin q.s.":                    "two ingredients are to fill up",
		"water 70 g, glycerin 30 %":                      "some amounts are grams",
		"kind: ready\nAqua, Glycerin, aqua":              "stands there already",
		"Aqua, Glycerin":                                 "mine.txt:1: no ingredient has an amount; accepted: amounts",
		"water 2 cups, jojoba 1 tbsp":                    `mine.txt:1: "water 2 cups": cups, spoons, drops and ml are not weights`,
		"water 95\nhalf a teaspoon of glycerin":          `mine.txt:2: "half a teaspoon of glycerin": cups`,
		"water 95\ncetearyl olivate, sorbitan olivate 5": "mine.txt:2: \"cetearyl olivate\" has no amount over 0; where it is sold as one with what follows, write: cetearyl olivate and sorbitan olivate 5",
		"water 101":                             "is more than the whole",
		"water 95, water 5":                     "stands there already",
		"":                                      "no ingredient",
		"pH acid\nwater 100":                    "mine.txt:1",
		"water 90, jojoba 110, glycerin to 100": "fill up to 100",
	} {
		if b, err := ParseRecipe(text, "mine.txt"); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, %+v; want %q", text, err, b, want)
		}
	}
}

// A pH that is not known is asked for, never printed as 0, and the window named
// is the preservative's. Of a trade mixture without shares the usual ones are
// taken: 1 % of nine to one is 0.9 %, no less than its usual least.
func TestUnknownsAreAsked(t *testing.T) {
	b, err := ParseRecipe("water 75, emulsifying wax 6, stearic acid 3, coconut oil 15, keeper (Phenoxyethanol; Ethylhexylglycerin) 1\n", "mine.txt")
	if err == nil {
		var b2 *Batch
		if b2, err = Scale(Request{Base: b, Grams: 200}); err == nil {
			var out strings.Builder
			if err = Text(&out, b2); err == nil {
				for _, want := range []string{"pH, not given: the preservative works at 3–10", "70–75 °C", "nothing unmelted", "no pH is given"} {
					if !strings.Contains(oneLine(out.String()), want) {
						t.Errorf("the sheet lacks %q", want)
					}
				}
				for _, wrong := range []string{"wanted 0", "usual minimum", " 0 °C"} {
					if strings.Contains(oneLine(out.String()), wrong) {
						t.Errorf("the sheet says %q", wrong)
					}
				}
			}
		}
	}
	if err != nil {
		t.Fatal(err)
	}
}

// What stands in brackets after a trade name gives the ingredient its role and its
// limits; where it is not known, that is its role, and the checks say so.
func TestRolesByINCI(t *testing.T) {
	read := func(more string) (Base, []Finding) {
		b, err := ParseRecipe("water to 100, MCT oil 10, "+more, "mine.txt")
		if err != nil {
			t.Fatal(err)
		}
		return b, Check(b, Request{})
	}
	for text, want := range map[string][]Role{
		"phenox (Phenoxyethanol) 1":                                       {RolePreservative},
		"sun (Titanium Dioxide) 1":                                        {RoleUnknown},
		"keeper (Phenoxyethanol, Caprylyl Glycol) 1":                      {RolePreservative, RoleBooster},
		"keeper (Phenoxyethanol (and) Ethylhexylglycerin) 1":              {RolePreservative, RoleBooster},
		"Phenoxyethanol (and) Benzyl Alcohol 1":                           {RolePreservative},
		"olive stuff (Cetearyl Olivate, Sorbitan Olivate) 5":              {RoleEmulsifier},
		"my wax (Glyceryl Stearate SE + Cetearyl Alcohol) 5":              {RoleEmulsifier, RoleCoEmulsifier, RoleThickener},
		"my wax (emulsifying wax) 5":                                      {RoleEmulsifier},
		"lemon (Citrus Limon Juice) 1":                                    {RoleUnknown},
		"dragon (Dragon Extract) 1":                                       {RoleUnknown},
		"kathon (Methylisothiazolinone, Methylchloroisothiazolinone) 0.5": {RolePreservative},
	} {
		b, _ := read(text)
		i := slices.IndexFunc(b.Ingredients, func(in Ingredient) bool { return !in.Has(RoleSolvent) && in.Name != "MCT oil" })
		if got := b.Ingredients[i].Roles; !slices.Equal(got, want) {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
	_, fs := read("keeper (Phenoxyethanol, Caprylyl Glycol) 1, olive stuff (Cetearyl Olivate, Sorbitan Olivate) 5")
	if find(fs, Stop, "no preservative") || find(fs, Fault, "no emulsifier") {
		t.Errorf("%+v", fs)
	}
	_, fs = read("keeper (Phenoxyethanol, Caprylyl Glycol) 2, kathon (Methylisothiazolinone, Methylchloroisothiazolinone) 0.5, hq (Hydroquinone) 0.5, lemon (Citrus Limon Juice) 1")
	for _, stop := range []string{"Phenoxyethanol is 1.4 %", "Methylisothiazolinone is not allowed", "Methylchloroisothiazolinone is not allowed", "Hydroquinone is not allowed"} {
		if !find(fs, Stop, stop) {
			t.Errorf("no stop says %q: %+v", stop, fs)
		}
	}
	if _, coloured := read("sun (Titanium Dioxide) 1"); !find(coloured, Advice, "Titanium Dioxide is a colour, and inside a base nothing of it is checked") {
		t.Errorf("%+v", coloured)
	}
	if !find(fs, Advice, "Citrus Limon Juice is not known") || find(fs, Advice, "use more") || find(fs, Advice, "limit of 0 %") {
		t.Errorf("%+v", fs)
	}
}

// A bought base's label is one, in its order, without shares.
func TestParseRecipeLabel(t *testing.T) {
	if b, err := ParseRecipe("kind: ready\nAqua, Cetearyl Alcohol (and) Ceteareth-20, Polysorbate 60, Methylisothiazolinone, Dragon Extract", "mine.txt"); err != nil || b.Kind != Ready ||
		!find(Check(b, Request{}), Stop, "Methylisothiazolinone is not allowed") || !find(Check(b, Request{}), Note, "not checked: Dragon Extract.") {
		t.Errorf("%+v, %v", Check(b, Request{}), err)
	}
	b, err := ParseRecipe("Ingredients: Aqua, Glycerin, Cetearyl Alcohol, Prunus Amygdalus Dulcis (Sweet Almond) Oil, Phenoxyethanol", "mine.txt")
	if err != nil || b.Kind != Ready || len(b.Ingredients) != 5 || b.Ingredients[0].INCI != "Aqua" || !b.HasWater() {
		t.Fatalf("%+v, %v", b, err)
	}
	made, err := Scale(Request{Base: b, Grams: 100, Parts: []Part{{demoGold(), 2}}})
	if err != nil || !find(made.Findings, Advice, "ask its maker") || !strings.Contains(made.Label.EU.Ingredients, "Prunus Amygdalus Dulcis (Sweet Almond) Oil") {
		t.Errorf("%v: %+v", err, made)
	}
}

// A recipe says where it may be worn, by commas or semicolons; what is no such
// place is told with those that are.
func TestRecipeAreas(t *testing.T) {
	for said, want := range map[string]string{"": "body", "areas: body, eyes\n": "body, eyes", "areas: body;eyes\n": "body, eyes"} {
		b, err := ParseRecipe(said+"castor oil 95, beeswax 5", "mine.txt")
		if err != nil || list(b.Areas) != want {
			t.Errorf("%q: for %v, %v", said, b.Areas, err)
		}
	}
	_, err := ParseRecipe("areas: body, feet\ncastor oil 95, beeswax 5", "mine.txt")
	if err == nil || !strings.Contains(err.Error(), `"feet"`) || !strings.Contains(err.Error(), "body, eyes and lips") {
		t.Error(err)
	}
}

// A scent goes into the cool-down below 40 °C, and one that the recipe heats is a
// fault; a single pH is asked to within what can be hit, inside the preservative's
// window, and the sheet says how.
func TestScentAndPHOfARecipe(t *testing.T) {
	oils := map[string]string{"lavender oil": "Lavandula Angustifolia Oil", "geranium oil (Pelargonium Graveolens Flower Oil)": "Pelargonium Graveolens Flower Oil"}
	for oil, inci := range oils {
		for at, heated := range map[string]bool{"": false, "oil phase: ": true} {
			b, err := ParseRecipe("water 72, glycerin 4, phenoxyethanol 1, jojoba 16, glyceryl stearate se 6, vitamin e 0.5\npH 5.2\n"+at+oil+" 0.5", "mine.txt")
			if err != nil {
				t.Fatal(err)
			}
			i := slices.IndexFunc(b.Ingredients, func(in Ingredient) bool { return in.INCI == inci })
			if i < 0 || (b.Ingredients[i].Phase == PhaseCool) == heated || b.Ingredients[i].AddBelowC != 40 {
				t.Errorf("%s, %s: %+v", oil, at, b.Ingredients)
			}
			if find(Check(b, Request{}), Fault, "goes in below 40 °C but stands in the oil phase") != heated {
				t.Errorf("%s, %s: %+v", oil, at, Check(b, Request{}))
			}
		}
	}
	for ph, want := range map[string]string{"5.2": "4.9–5.5", "5-5.4": "5–5.4", "9.9": "9.6–10", "3": "3–3.3", "11": "10.7–11"} {
		b, err := ParseRecipe("water 98, glycerin 1, phenoxyethanol 1\npH "+ph, "mine.txt")
		if err != nil {
			t.Fatal(err)
		}
		made, err := Scale(Request{Base: b, Grams: 200})
		if err != nil {
			t.Fatal(err)
		}
		var out strings.Builder
		if err := Text(&out, made); err != nil {
			t.Fatal(err)
		}
		for _, says := range []string{"pH, wanted " + want + ":", "citric or lactic acid drop by drop"} {
			if !strings.Contains(oneLine(out.String()), says) {
				t.Errorf("pH %s: the sheet lacks %q", ph, says)
			}
		}
	}
}

// What sets the pH is known with its strength, which is % w/w in water; of other things
// a per cent does not tell what the rest is.
func TestSolutions(t *testing.T) {
	for name, inci := range map[string]string{
		"citric acid": "Citric Acid", "citric acid 20 %": "Citric Acid=20;Aqua=80", "20% citric acid solution": "Citric Acid=20;Aqua=80",
		"Lactic acid 88,5 per cent": "Lactic Acid=88.5;Aqua=11.5", "lye 10%": "Sodium Hydroxide=10;Aqua=90", "arginine": "Arginine",
		"glycerin 86 %": "", "vitamin E 50 %": "", "citric acid 0 %": "", "citric acid 100 %": "", "citric acid 120 %": "", "20": "",
	} {
		in, err := AsIngredient(name)
		if in.INCI != inci || (err == nil) != (inci != "") || in.Name != name || inci != "" && !in.Has(RolePH) {
			t.Errorf("%s: %+v, %v", name, in, err)
		}
	}
	b := Base{Name: "b", Kind: Lotion, Ingredients: []Ingredient{{Name: "water", INCI: "Aqua", Phase: PhaseWater, Percent: 99}, {Name: "glycerin", INCI: "Glycerin", Phase: PhaseWater, Percent: 1}}}
	made := b.AsWeighed(map[string]float64{"water": 98, "glycerin": 1, "citric acid 20 %": 1}, 100)
	if share := made.share(func(inci string) bool { return inci == "Citric Acid" }); math.Abs(share-0.2) > 1e-9 {
		t.Errorf("1 g of 20 %% in 100 g is %g %% of it", share)
	}
}
