package batch

import (
	"math"
	"slices"
	"strings"
	"testing"

	"tawny/blend/batch/rules"
	"tawny/blend/palette"
)

func names(l LabelText) []string {
	return strings.Split(strings.TrimPrefix(l.Ingredients, "Ingredients: "), ", ")
}

// Article 19(1)(g): descending order down to 1 %, colourants after the rest
// and by CI number; Aqua and Parfum by their glossary names. 21 CFR 701.3: the
// same order with Water and Fragrance, colour additives by their US names.
func TestLabelOrder(t *testing.T) {
	b := scaled(t, "everyday-lotion", Part{demoGold(), 4}, Part{demoRed(), 0.5})
	subs, _ := composition(b)
	sum := 0.0
	share := map[string]float64{}
	for _, s := range subs {
		sum += s.percent
		share[s.inci] = s.percent
	}
	// all but the colour additives of 4.5 % (mica and titania 99.5 % of the
	// gold, the oxide): what remains of the powder is its tin oxide
	if want := 95.5 + 4*0.005; math.Abs(sum-want) > 0.02 {
		t.Errorf("substances sum to %v, want %v", sum, want)
	}
	// water from the preservative and the acid counts as water
	if share["Aqua"] < 68 {
		t.Errorf("aqua %v", share["Aqua"])
	}
	eu := names(b.Label.EU)
	if eu[0] != "Aqua" {
		t.Errorf("first is %s", eu[0])
	}
	last := math.Inf(1)
	colourAt := -1
	for i, n := range eu {
		if strings.HasPrefix(n, "CI ") {
			if colourAt < 0 {
				colourAt = i
			}
			continue
		}
		if colourAt >= 0 {
			t.Errorf("%s after the colourants", n)
		}
		p := share[n]
		if p > last && p >= anyOrder {
			t.Errorf("%s (%.3g %%) out of order after %.3g %%", n, p, last)
		}
		last = max(p, 0)
	}
	for _, ci := range []string{"CI 77019", "CI 77891", "CI 77491"} {
		if !slices.Contains(eu, ci) {
			t.Errorf("%s is missing in %v", ci, eu)
		}
	}
	us := names(b.Label.US)
	for _, n := range []string{"Water", "Fragrance", "Mica", "Titanium Dioxide", "Iron Oxides", "Helianthus Annuus (Sunflower) Seed Oil"} {
		if !slices.Contains(us, n) {
			t.Errorf("%s is missing in %v", n, us)
		}
	}
	for _, n := range []string{"Aqua", "Parfum", "CI 77491"} {
		if slices.Contains(us, n) {
			t.Errorf("%s on the US label", n)
		}
	}
	if slices.Index(us, "Mica") < slices.Index(us, "Tocopherol") {
		t.Error("US colours before the rest")
	}
}

// Three oxides with one INCI name keep their three numbers.
func TestLabelOxides(t *testing.T) {
	y, k := powder("Yellow", "Iron Oxides", "CI 77492"), powder("Black", "Iron Oxides", "CI 77499")
	b := scaled(t, "silk-body-oil", Part{demoRed(), 1}, Part{y, 1}, Part{k, 0.5})
	if eu := b.Label.EU.Ingredients; !strings.HasSuffix(eu, "CI 77491, CI 77492, CI 77499") {
		t.Error(eu)
	}
	if us := b.Label.US.Ingredients; !strings.HasSuffix(us, "Iron Oxides") || strings.Count(us, "Iron Oxides") != 1 {
		t.Error(us)
	}
}

// An allergen is named above 0.001 % of the leave-on product and not at it:
// 0.5 % of scent passes it at 0.2 % of the scent.
func TestLabelAllergens(t *testing.T) {
	list := func(percent float64, inci string) []string {
		b, err := Scale(Request{Base: mustFind(t, "silk-body-oil"), Grams: 1000, Parts: []Part{{demoRed(), 1}},
			Scent: &Scent{Percent: 0.5, MaxPercent: 1, Allergens: []Allergen{{inci, percent}}}})
		if err != nil {
			t.Fatal(err)
		}
		return names(b.Label.EU)
	}
	if slices.Contains(list(0.2, "Linalool"), "Linalool") {
		t.Error("0.001 % exactly is named")
	}
	if !slices.Contains(list(0.21, "Linalool"), "Linalool") {
		t.Error("over 0.001 % is not named")
	}
	// one of the longer list, under its group's label name
	if !slices.Contains(list(1, "Damascenone"), "Rose Ketones") {
		t.Error("rose ketones")
	}
	if len(rules.Allergens()) != 81 {
		t.Error("list")
	}
}

// A bought base keeps its label's order; what is added over 1 % goes before
// the first ingredient limited to 1 %, and it says its place is not sure.
func TestLabelReady(t *testing.T) {
	b, err := Scale(Request{Base: mustFind(t, "bought-white-lotion"), Grams: 500, Parts: []Part{{demoGold(), 4}},
		Scent: &Scent{Percent: 3, MaxPercent: 5}})
	if err != nil {
		t.Fatal(err)
	}
	eu := names(b.Label.EU)
	if at, mark := slices.Index(eu, "Parfum"), slices.Index(eu, "Phenoxyethanol"); at < 0 || at != mark-1 {
		t.Errorf("%v", eu)
	}
	if slices.Index(eu, "Tin Oxide") < slices.Index(eu, "Citric Acid") {
		t.Errorf("%v", eu)
	}
	if !strings.Contains(strings.Join(b.Label.EU.Notes, " "), "exact place") {
		t.Errorf("%v", b.Label.EU.Notes)
	}
}

// Net content, rounded down for the US (1 fl oz is 29.5735 ml, 1 oz is
// 28.3495 g); no sun-protection claim from titania; deferral.
func TestLabelLines(t *testing.T) {
	b, err := Scale(Request{Base: mustFind(t, "silk-body-oil"), Containers: 3, ContainerML: 50, Code: "E-07", Parts: []Part{{demoGold(), 4}}})
	if err != nil {
		t.Fatal(err)
	}
	if b.Label.EU.Net != "50 ml" || b.Label.US.Net != "1.69 FL OZ (50 mL)" {
		t.Errorf("%s, %s", b.Label.EU.Net, b.Label.US.Net)
	}
	eu := strings.Join(append(append(b.Label.EU.Lines, b.Label.EU.Cautions...), b.Label.EU.Notes...), " ")
	us := strings.Join(append(append(b.Label.US.Lines, b.Label.US.Cautions...), b.Label.US.Notes...), " ")
	for _, w := range []string{"E-07", "Shake well", "Claim no sun protection", "Deferral"} {
		if w == "Deferral" {
			w = Deferral
		}
		if !strings.Contains(eu, w) || !strings.Contains(us, w) {
			t.Errorf("%q is missing", w)
		}
	}
	if !strings.Contains(eu, "Responsible person") || !strings.Contains(us, "place of business") || !strings.Contains(us, "740.10") {
		t.Errorf("%s | %s", eu, us)
	}
}

// The yield stress of the standing bases holds flakes up, so the label does
// not say shake; a thin oil's does and says how long.
func TestSuspension(t *testing.T) {
	thin := scaled(t, "silk-body-oil", Part{demoGold(), 4})
	s := thin.Suspension
	if s == nil || s.Holds || s.ClearHours <= s.FirstHours || s.FirstHours <= 0 || len(s.Remedies) == 0 {
		t.Fatalf("%+v", s)
	}
	// 25 × 0.55 µm flake, Δρ 2.17 g/cm³, 0.04 Pa·s:
	// π·2170·9.80665·12.5e-6·0.55e-6/(12·0.04) m/s = 83 mm/day, 80 mm in about 23 h
	if math.Abs(s.ClearHours-23) > 1 {
		t.Errorf("clears after %v h", s.ClearHours)
	}
	for _, name := range []string{"cool-gel-lotion", "standing-gel-oil", "everyday-lotion"} {
		b := scaled(t, name, Part{demoGold(), 4})
		if b.Suspension == nil || !b.Suspension.Holds {
			t.Errorf("%s: %+v", name, b.Suspension)
		}
		if strings.Contains(strings.Join(b.Label.EU.Cautions, " "), "Shake") {
			t.Errorf("%s says shake", name)
		}
	}
}

// Spoons: 9 g of a 0.25 g/ml powder is 36 ml, 7.2 spoons of 5 ml, shown with
// its spread; grades by the usual bands.
func TestPowderFacts(t *testing.T) {
	b, err := Scale(Request{Base: mustFind(t, "silk-body-oil"), Grams: 300, Parts: []Part{{demoGold(), 3}}})
	if err != nil {
		t.Fatal(err)
	}
	f := b.Powders[0]
	if math.Abs(f.SpoonsLow-7.2/1.3) > 1e-9 || math.Abs(f.SpoonsHigh-7.2/0.7) > 1e-9 || !strings.Contains(f.String(), "weigh it") {
		t.Errorf("%+v", f)
	}
	for _, c := range []struct {
		d10, d50, d90 float64
		want          string
	}{{3, 8, 15, "satin"}, {10, 22, 60, "pearl"}, {20, 60, 150, "sparkle"}} {
		p := demoGold()
		p.D10, p.D50, p.D90 = c.d10, c.d50, c.d90
		if got := gradeWords(p); !strings.HasPrefix(got, c.want) {
			t.Errorf("%v: %s", c, got)
		}
	}
	none := &palette.Pigment{Name: "Unknown"}
	if got := gradeWords(none); got != "grade not given" {
		t.Error(got)
	}
}

// Only a place that hangs on a guess is marked: not a trace's, nor one far from all
// others; and the supplier's shares, in the base or a recipe's brackets, settle it.
func TestGuessedPlaces(t *testing.T) {
	gold := powder("Gold", "Mica", "CI 77019")
	gold.INCI = []palette.Ingredient{{INCI: "Mica", Percent: 70, Estimated: true}, {INCI: "Titanium Dioxide", Percent: 29.5, Estimated: true}, {INCI: "Tin Oxide", Percent: 0.5, Estimated: true}}
	everyday := mustFind(t, "everyday-lotion")
	settled := everyday
	settled.Ingredients = slices.Clone(everyday.Ingredients)
	for i, in := range settled.Ingredients {
		if in.Has(RoleEmulsifier) {
			settled.Ingredients[i].INCI = "Cetearyl Olivate=60;Sorbitan Olivate=40"
		}
	}
	recipe := func(oil string) Base {
		b, err := ParseRecipe("water 80, jojoba "+oil+", phenoxyethanol and ethylhexylglycerin 1\npH 5", "mine.txt")
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
	for name, c := range map[string]struct {
		base Base
		want string
	}{
		"built in":              {everyday, "Cetearyl Olivate, Sorbitan Olivate"},
		"settled":               {settled, ""},
		"no near neighbour":     {recipe("14, wax (Cetearyl Alcohol, Cetearyl Glucoside) 5"), ""},
		"as much as another":    {recipe("12, wax (Cetearyl Alcohol, Cetearyl Glucoside) 4, glycerin 3"), "Cetearyl Alcohol"},
		"none the trade knows":  {recipe("15, wax (Cetearyl Alcohol, Ceteareth-20) 4"), "Cetearyl Alcohol, Ceteareth-20"},
		"in a recipe's bracket": {recipe("15, wax (Cetearyl Alcohol=80; Ceteareth-20=20) 4"), ""},
	} {
		b, err := Scale(Request{Base: c.base, Containers: 3, ContainerML: 100, Parts: []Part{{gold, 3}}})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := strings.Join(b.Label.EU.Guessed, ", "); got != c.want {
			t.Errorf("%s: %q marked, want %q; %s", name, got, c.want, b.Label.EU.Ingredients)
		}
	}
}

// Every colourant a jar gives stands on the product's labels: in the Union by its
// number, in the US by its certified name, and where only the number is known there
// the label is a draft. What the checks stop, or what only a trade name tells, makes
// both a draft.
func TestJarsDyesAndDrafts(t *testing.T) {
	base, err := ParseRecipe("jojoba 80, sunflower oil 19, vitamin e 1", "mine.txt")
	if err != nil {
		t.Fatal(err)
	}
	waxed, err := ParseRecipe("water 70, jojoba 14, glycerin 10, emulsifying wax 5, phenoxyethanol 1\npH 5", "mine.txt")
	if err != nil {
		t.Fatal(err)
	}
	assessed := base
	assessed.Assessed = []string{"moondust"}
	red := func(name, ci string) *palette.Pigment {
		p := powder("Red", "Mica", "CI 77019")
		p.CI = append(p.CI, ci)
		p.INCI = []palette.Ingredient{{INCI: "Mica", Percent: 98}, {INCI: name, Percent: 2}}
		return p
	}
	for name, c := range map[string]struct {
		base   Base
		red    *palette.Pigment
		eu, us string // what their lists end on
		drafts [2]string
	}{
		"by number":          {base, red("CI 15850", "CI 15850"), "CI 15850, CI 77019", "CI 15850, Mica", [2]string{"", "the US name of CI 15850"}},
		"by its US name":     {base, red("Red 7 Lake", "CI 15850"), "CI 15850, CI 77019", "Red 7 Lake, Mica", [2]string{}},
		"by a US name alone": {base, red("D&C Red 33", "CI 17200"), "CI 17200, CI 77019", "D&C Red 33, Mica", [2]string{}},
		"no known name":      {base, red("Moondust", "CI 77891"), "Moondust, CI 77019, CI 77891", "Moondust, Mica, Titanium Dioxide", [2]string{"not known or not checked: Moondust", "not known or not checked: Moondust"}},
		"assessed":           {assessed, red("Moondust", "CI 77891"), "Moondust, CI 77019, CI 77891", "Moondust, Mica, Titanium Dioxide", [2]string{}},
		"known nowhere":      {base, red("CI 12345", "CI 12345"), "CI 12345, CI 77019", "CI 12345, Mica", [2]string{"to mend before it is sold: Red", "the US name of CI 12345"}},
		"a trade name":       {waxed, red("Red 40", "CI 16035"), "CI 16035, CI 77019", "Red 40, Mica", [2]string{"made of what is a guess: emulsifying wax", "emulsifying wax"}},
	} {
		b, err := Scale(Request{Base: c.base, Containers: 3, ContainerML: 100, Parts: []Part{{c.red, 3}}})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for i, m := range b.Label.Markets() {
			if want := []string{c.eu, c.us}[i]; !strings.HasSuffix(m.Text.Ingredients, ", "+want) {
				t.Errorf("%s, %s: %s, want it to end on %s", name, m.Name, m.Text.Ingredients, want)
			}
			draft := strings.Join(m.Text.Draft, "; ")
			if want := c.drafts[i]; (want == "") != (draft == "") || !strings.Contains(draft, want) {
				t.Errorf("%s, %s: draft %q, want %q", name, m.Name, draft, want)
			}
			if back := m.Text.back(); draft != "" && back[len(back)-1].Text != "DRAFT: "+draft {
				t.Errorf("%s, %s: the back ends on %q", name, m.Name, back[len(back)-1].Text)
			}
		}
	}
	for area, stopped := range map[palette.Area]bool{palette.Eyes: true, palette.Lips: false} {
		if got := len(Bars(red("Red 7 Lake", "CI 15850"), Lotion, area)) > 0; got != stopped {
			t.Errorf("CI 15850 on %s: stopped %v", area, got)
		}
		if len(Bars(red("CI 12345", "CI 12345"), Lotion, area)) == 0 {
			t.Errorf("CI 12345 on %s is not stopped", area)
		}
	}
}

// What of a list is not known or was not checked keeps its labels drafts that name
// it, until a certificate or a safety assessor settles it.
func TestDraftWhileOpen(t *testing.T) {
	lavender := func(limit float64, of ...Allergen) *Scent {
		return &Scent{Name: "lavender", Percent: 0.5, MaxPercent: limit, Allergens: of}
	}
	for name, c := range map[string]struct {
		recipe string
		scent  *Scent
		want   []string
	}{
		"known":                {"jojoba 99, vitamin e 1", nil, nil},
		"essential oil":        {"jojoba 98.5, vitamin e 1, Lavender essential oil (Lavandula Angustifolia Oil) 0.5", nil, []string{"the limit and the allergens of Lavandula Angustifolia Oil"}},
		"scent":                {"jojoba 99, vitamin e 1", lavender(0), []string{"the limit of lavender, the allergens of lavender"}},
		"scent's certificate":  {"jojoba 99, vitamin e 1", lavender(2, Allergen{"Linalool", 35}), nil},
		"unknown":              {"jojoba 94, peroxide (Hydrogen Peroxide) 5, vitamin e 1", nil, []string{"not known or not checked: Hydrogen Peroxide"}},
		"unknown but assessed": {"jojoba 98, Sea Extract (Bakuchiol) 1, vitamin e 1\nassessed: Bakuchiol", nil, nil},
		"bought":               {"Ingredients: Caprylic/Capric Triglyceride, Dragon Extract", nil, []string{"Dragon Extract", "how much may be added"}},
	} {
		base, err := ParseRecipe(c.recipe, "mine.txt")
		if err != nil {
			t.Fatal(err)
		}
		b, err := Scale(Request{Base: base, Grams: 500, Scent: c.scent, Parts: []Part{{demoRed(), 1}}})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range b.Label.Markets() {
			draft := strings.Join(m.Text.Draft, "; ")
			if len(c.want) == 0 && draft != "" {
				t.Errorf("%s, %s: draft %q", name, m.Name, draft)
			}
			for _, want := range c.want {
				if !strings.Contains(draft, want) {
					t.Errorf("%s, %s: draft %q, want %q", name, m.Name, draft, want)
				}
			}
		}
	}
}

// A guess that leaves two shares of one mixture just touching is told of the batch as
// weighed as it is of the plan: rounding decides nothing.
func TestGuessedPlacesAsWeighed(t *testing.T) {
	base, err := ParseRecipe("water to 100, glycerin 4, cetearyl olivate and sorbitan olivate 5, jojoba 12, phenoxyethanol 1, vitamin e 0.4\npH 5", "mine.txt")
	if err != nil {
		t.Fatal(err)
	}
	for off := range 40 {
		rest, total := map[string]float64{}, 0.0
		for i, in := range base.Ingredients {
			rest[in.Name] = math.Round(424.23*in.Percent+float64(off*(i+1)%9)) / 100
			total += rest[in.Name]
		}
		made := base.AsWeighed(rest, total)
		b, err := Scale(Request{Base: made, Grams: 300 + 7*float64(off), Parts: []Part{{demoRed(), 3}}})
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(b.Label.EU.Guessed, ", "); !strings.Contains(got, "Cetearyl Olivate, Sorbitan Olivate") {
			t.Errorf("%d off: %q marked; %s", off, got, b.Label.EU.Ingredients)
		}
	}
}

// The wearer's cautions are of where it is worn, and flakes that scratch are no label's.
func TestCautionsWhereWorn(t *testing.T) {
	coarse := demoGold()
	coarse.D90 = 101
	for area, want := range map[palette.Area]string{
		palette.Body: "Keep away from eyes and lips",
		palette.Eyes: "If it gets into an eye, take contact lenses out and rinse",
		palette.Lips: "For the lips only",
	} {
		b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Grams: 300, Area: area, Parts: []Part{{coarse, 2}}})
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range b.Label.Markets() {
			if said := strings.Join(m.Text.Cautions, " "); !strings.Contains(said, want) || strings.Contains(said, "body only") != (area == palette.Body) {
				t.Errorf("%s, %s: %q", area, m.Name, said)
			}
		}
		if found := find(b.Findings, Fault, "too coarse near the eye"); found != (area == palette.Eyes) {
			t.Errorf("%s: coarse flakes a fault: %t", area, found)
		}
	}
}
