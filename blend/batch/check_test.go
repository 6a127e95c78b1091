package batch

import (
	"slices"
	"strings"
	"testing"

	"tawny/blend/palette"
)

// plainLotion is a sound small lotion that each case spoils in one way.
const plainLotion = `# base: Plain lotion
# kind: lotion
# density_g_ml: 0.98
# consistency: soft
# ph: 4.8-5.2
# heat_c: 70-75
# hold_min: 20
phase,name,inci,percent,roles,add_below_c,usual_low,usual_high,usual_of,hlb
water,Water,Aqua,80.2,solvent;filler,,,,,
oil,Sunflower,Helianthus Annuus Seed Oil,12,emollient,,,,,
oil,Emulsifier,Glyceryl Stearate;PEG-100 Stearate,4,emulsifier,,20,40,oil,11
oil,Cetearyl alcohol,Cetearyl Alcohol,2,thickener,,1,4,product,
cool,Keeper,Phenoxyethanol=90;Ethylhexylglycerin=10,1,preservative;booster,45,,,,
cool,Vitamin E,Tocopherol,0.3,antioxidant,40,,,,
cool,Acid,Lactic Acid,0.5,ph,40,,,,
`

func baseFrom(t *testing.T, text string) Base {
	t.Helper()
	b, err := ReadBase(strings.NewReader(text), "plain.csv")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func swap(pairs ...string) string {
	return strings.NewReplacer(pairs...).Replace(plainLotion)
}

func find(fs []Finding, s Severity, words string) bool {
	return slices.ContainsFunc(fs, func(f Finding) bool { return f.Severity == s && strings.Contains(f.Text, words) })
}

func powder(name, inci, ci string) *palette.Pigment {
	return &palette.Pigment{Name: name, INCI: []palette.Ingredient{{INCI: inci, Percent: 100}}, CI: []string{ci}, D10: 1, D50: 3, D90: 8, Density: 3,
		Areas: []palette.Area{palette.Body, palette.Eyes, palette.Lips}}
}

// A sound base and every built-in one has nothing to mend.
func TestCheckSound(t *testing.T) {
	bs := Builtin()
	for _, b := range append(bs, baseFrom(t, plainLotion)) {
		for _, f := range Check(b, Request{}) {
			if f.Severity != Note {
				t.Errorf("%s: %+v", b.Name, f)
			}
		}
		for _, f := range Check(b, Request{Parts: []Part{{demoRed(), 2}}}) {
			if f.Severity == Stop || f.Severity == Fault {
				t.Errorf("%s with oxide: %+v", b.Name, f)
			}
		}
	}
}

// Each fault is found, with its weight and where it comes from.
func TestCheckFaults(t *testing.T) {
	cases := []struct {
		name   string
		base   string
		use    Request
		sev    Severity
		words  string
		source string
	}{
		{"sum", swap("80.2,", "82.2,"), Request{}, Fault, "sum to 102 %", practice},
		{"no preservative", swap("cool,Keeper,Phenoxyethanol=90;Ethylhexylglycerin=10,1,preservative;booster,45,,,,\n", ""), Request{}, Stop, "no preservative", "Article 3"},
		{"not on Annex V", swap("Phenoxyethanol=90;Ethylhexylglycerin=10", "Ethylhexylglycerin"), Request{}, Fault, "EU's list", "Article 14(1)(d)"},
		{"phenoxyethanol 1.0", swap("Ethylhexylglycerin=10,1,", "Ethylhexylglycerin=10,1.2,"), Request{}, Stop, "at most 1 %", "entry 29"},
		{"benzyl alcohol 1.0", swap("Phenoxyethanol=90;Ethylhexylglycerin=10,1,", "Benzyl Alcohol,1.1,"), Request{}, Stop, "at most 1 %", "entry 34"},
		{"sorbic 0.6 as acid", swap("Phenoxyethanol=90;Ethylhexylglycerin=10,1,", "Potassium Sorbate,0.9,"), Request{}, Stop, "as acid; at most 0.6 %", "entry 4"},
		{"benzoic 0.5 as acid", swap("Phenoxyethanol=90;Ethylhexylglycerin=10,1,", "Sodium Benzoate,0.7,"), Request{}, Stop, "as acid; at most 0.5 %", "entry 1"},
		{"benzoate pH", swap("Phenoxyethanol=90;Ethylhexylglycerin=10,1,", "Sodium Benzoate,0.5,", "4.8-5.2", "5.8-6.2"), Request{}, Fault, "works at pH 2 to 5", practice},
		{"sorbate pH", swap("Phenoxyethanol=90;Ethylhexylglycerin=10,1,", "Potassium Sorbate,0.5,", "4.8-5.2", "5.8-6.2"), Request{}, Fault, "works at pH 2 to 5.5", practice},
		{"under minimum", swap("Ethylhexylglycerin=10,1,", "Ethylhexylglycerin=10,0.3,"), Request{}, Fault, "usual minimum", practice},
		{"weak against", swap("preservative;booster", "preservative"), Request{}, Advice, "Weak against yeast and mould", practice},
		{"leave-on", swap("Phenoxyethanol=90;Ethylhexylglycerin=10,1,", "Methylisothiazolinone,0.01,"), Request{}, Stop, "rinse-off products only", "entry 57"},
		{"body lotion", swap("Phenoxyethanol=90;Ethylhexylglycerin=10,1,", "Iodopropynyl Butylcarbamate,0.01,"), Request{}, Stop, "not in body lotion", "entry 56"},
		{"shares unknown", swap("Phenoxyethanol=90;Ethylhexylglycerin=10", "Phenoxyethanol;Benzyl Alcohol"), Request{}, Advice, "not given", "entry 29"},
		{"arginate on lips", swap("# ph", "# areas: body;lips\n# ph", "Phenoxyethanol=90;Ethylhexylglycerin=10,1,", "Ethyl Lauroyl Arginate HCl,0.3,"), Request{Area: palette.Lips}, Stop, "not allowed in lip products", "entry 58"},
		{"pH of soap", swap("4.8-5.2", "9-9"), Request{}, Fault, "pH 9 is out of the range", practice},
		{"hydroquinone", swap("Lactic Acid", "Hydroquinone"), Request{}, Stop, "Hydroquinone is not allowed", "Annex II entry 1339"},
		{"cassia oil", swap("Vitamin E,Tocopherol,0.3,antioxidant", "Cassia,Cinnamomum Cassia Leaf Oil,5,scent"), Request{}, Fault, "5 % of it all over the body may burn", practice},
		{"a little lavender", swap("Lactic Acid", "Lavandula Angustifolia Oil"), Request{}, Advice, "Lavandula Angustifolia Oil is scent", practice},
		{"unknown", swap("Lactic Acid", "Dragon Extract"), Request{}, Advice, "Dragon Extract is not known to this tool and nothing of it was checked", practice},
		{"no pH", swap("# ph: 4.8-5.2\n", ""), Request{}, Fault, "no pH", practice},
		{"no emulsifier", swap("oil,Emulsifier,Glyceryl Stearate;PEG-100 Stearate,4,emulsifier,,20,40,oil,11\n", ""), Request{}, Fault, "no emulsifier", practice},
		{"little emulsifier", swap("Stearate,4,", "Stearate,1,"), Request{}, Fault, "too little to hold", "supplier"},
		{"HLB", swap("oil,11", "oil,5"), Request{}, Fault, "HLB is 5.0", "Griffin"},
		{"antioxidant", swap("Tocopherol,0.3,antioxidant", "Tocopheryl Acetate,0.3,active"), Request{}, Fault, "rancid", practice},
		{"heat", swap("cool,Vitamin E", "oil,Vitamin E"), Request{}, Fault, "goes in below 40 °C", practice},
		{"ultramarine in acid", plainLotion, Request{Parts: []Part{{powder("Blue", "Ultramarines", "CI 77007"), 1}}}, Fault, "pH of 5.5 or more", practice},
		{"ferrocyanide in alkali", swap("4.8-5.2", "7.5-8"), Request{Parts: []Part{{powder("Navy", "Ferric Ferrocyanide", "CI 77510"), 1}}}, Fault, "pH of 7 or less", practice},
		{"chromium on lips", swap("# ph", "# areas: body;lips\n# ph"), Request{Area: palette.Lips, Parts: []Part{{powder("Green", "Chromium Oxide Greens", "CI 77288"), 1}}}, Stop, "may not be worn on the lips", "21 CFR 73.2327"},
		{"ferrocyanide on lips", swap("# ph", "# areas: body;lips\n# ph"), Request{Area: palette.Lips, Parts: []Part{{powder("Navy", "Ferric Ferrocyanide", "CI 77510"), 1}}}, Stop, "70.3(v)", "21 CFR 73.2299"},
		{"base not for lips", plainLotion, Request{Area: palette.Lips}, Fault, "not made for the lips. Where a safety assessor finds that it may be worn there, write 'areas: body, lips'", "file"},
		{"scent limit", plainLotion, Request{Scent: &Scent{Name: "Demo scent", Percent: 1.5, MaxPercent: 1.1}}, Stop, "its certificate allows 1.1 %", "certificate"},
		{"scent banned", plainLotion, Request{Scent: &Scent{Name: "Demo scent", Percent: 0.5, MaxPercent: 1.1, Allergens: []Allergen{{"Butylphenyl Methylpropional", 1}}}}, Stop, "prohibited", "Annex II"},
		{"heavy load", plainLotion, Request{Parts: []Part{{demoRed(), 12}}}, Advice, "far above the usual 1 to 5 %", practice},
	}
	for _, c := range cases {
		fs := Check(baseFrom(t, c.base), c.use)
		i := slices.IndexFunc(fs, func(f Finding) bool { return f.Severity == c.sev && strings.Contains(f.Text, c.words) })
		if i < 0 {
			t.Errorf("%s: not found in %+v", c.name, fs)
			continue
		}
		if !strings.Contains(fs[i].Source, c.source) {
			t.Errorf("%s: source %q, want %q", c.name, fs[i].Source, c.source)
		}
		if !slices.IsSortedFunc(fs, func(a, b Finding) int { return rank(a.Severity) - rank(b.Severity) }) {
			t.Errorf("%s: not worst first", c.name)
		}
	}
}

// At its limit exactly a preservative is lawful.
func TestAtTheLimit(t *testing.T) {
	for _, row := range []string{"Benzyl Alcohol,1,", "Phenoxyethanol,1,", "Sorbic Acid,0.6,", "Benzoic Acid,0.5,", "Potassium Sorbate,0.8,", "Sodium Benzoate,0.59,"} {
		for _, f := range Check(baseFrom(t, swap("Phenoxyethanol=90;Ethylhexylglycerin=10,1,", row)), Request{}) {
			if f.Severity == Stop {
				t.Errorf("%s: %s", row, f.Text)
			}
		}
	}
}

// Castor oil does not mix with mineral oil, squalane or silicone; with esters
// and plant oils it does.
func TestCheckWettingOil(t *testing.T) {
	oil := func(inci string) Base {
		return baseFrom(t, strings.ReplaceAll(goodBase, "Helianthus Annuus Seed Oil", inci))
	}
	for inci, words := range map[string]string{"Paraffinum Liquidum": "octyldodecanol", "Squalane": "octyldodecanol", "Dimethicone": "silicone"} {
		if fs := Check(oil(inci), Request{}); !find(fs, Fault, "does not mix") || !find(fs, Fault, words) {
			t.Errorf("%s: %+v", inci, fs)
		}
	}
	for _, inci := range []string{"Caprylic/Capric Triglyceride", "Coco-Caprylate"} {
		if fs := Check(oil(inci), Request{}); find(fs, Fault, "does not mix") {
			t.Errorf("%s: %+v", inci, fs)
		}
	}
}

// A ready-made base says how far additions thin its preservative and where
// its maker's limit is.
func TestCheckReady(t *testing.T) {
	b := mustFind(t, "bought-white-lotion")
	if fs := Check(b, Request{Parts: []Part{{demoRed(), 4}}}); !find(fs, Advice, "to 96 % of what it was") || find(fs, Fault, "its maker allows") {
		t.Errorf("4 %%: %+v", fs)
	}
	if fs := Check(b, Request{Parts: []Part{{demoRed(), 12}}}); !find(fs, Fault, "its maker allows 10 %") {
		t.Errorf("12 %%: %+v", fs)
	}
}

// A mist: titania is stopped, coarse flakes block the nozzle, sprays may not
// hold some preservatives.
func TestCheckMist(t *testing.T) {
	b := mustFind(t, "stage-mist-oil")
	fs := Check(b, Request{Parts: []Part{{demoGold(), 2}}})
	if !find(fs, Stop, "not for sale in the EU in a spray without an assessor") {
		t.Errorf("titania: %+v", fs)
	}
	for keeper, want := range map[string]bool{"Sodium Dehydroacetate": true, "Ethyl Lauroyl Arginate HCl": true, "Phenoxyethanol": false} {
		spray := b
		spray.Ingredients = append(slices.Clone(b.Ingredients), baseFrom(t, swap("Phenoxyethanol=90;Ethylhexylglycerin=10,1", keeper+",0.4")).Ingredients[4])
		lotion := baseFrom(t, swap("Phenoxyethanol=90;Ethylhexylglycerin=10,1", keeper+",0.4"))
		if got := find(Check(spray, Request{}), Stop, keeper+" is not allowed in this spray"); got != want {
			t.Errorf("%s in a spray: stopped %v, want %v", keeper, got, want)
		}
		if find(Check(lotion, Request{}), Stop, "in this spray") {
			t.Errorf("%s: a lotion is taken for a spray", keeper)
		}
	}
	coarse := demoGold()
	coarse.D90 = 120
	if fs := Check(b, Request{Parts: []Part{{coarse, 2}}, NozzleUM: 400}); !find(fs, Fault, "wants a passage of 600 µm") {
		t.Errorf("nozzle: %+v", fs)
	}
	if fs := Check(b, Request{Parts: []Part{{demoGold(), 2}}, NozzleUM: 400}); find(fs, Fault, "block") {
		t.Errorf("60 µm through 400: %+v", fs)
	}
}

// Over 150 µm is outside the mica colour additive and refused.
func TestFineness(t *testing.T) {
	p := demoGold()
	p.D90 = 180
	_, err := Scale(Request{Base: mustFind(t, "silk-body-oil"), Grams: 100, Parts: []Part{{p, 3}}})
	if err == nil || !strings.Contains(err.Error(), "73.1496") {
		t.Errorf("%v", err)
	}
	p.D90 = 150
	if _, err := Scale(Request{Base: mustFind(t, "silk-body-oil"), Grams: 100, Parts: []Part{{p, 3}}}); err != nil {
		t.Error(err)
	}
}

// A misspelt allergen would be lost from the label, so it is refused with the
// nearest; so are allergens that are more than the scent. Prohibited names
// are known, and stop for what they are.
func TestScentAllergensAreKnown(t *testing.T) {
	base := mustFind(t, "silk-body-oil")
	for _, c := range []struct {
		allergens []Allergen
		want      string
	}{
		{[]Allergen{{"Linalol", 12}}, `nearest is "Linalool"`},
		{[]Allergen{{"Linalool", 60}, {"Limonene", 50}}, "110 % of scent"},
		{[]Allergen{{"Linalool", -1}}, "accepted: 0 to 100"},
		{[]Allergen{{"linalool", 60}, {"Limonene", 40}}, ""},
		{[]Allergen{{"Butylphenyl Methylpropional", 1}}, ""},
	} {
		s := &Scent{Name: "Demo scent", Percent: 0.4, MaxPercent: 1, Allergens: c.allergens}
		_, err := Scale(Request{Base: base, Grams: 100, Scent: s})
		if (err == nil) != (c.want == "") || err != nil && !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %v, want %q", c.allergens, err, c.want)
		}
		if c.want != "" && !find(Check(base, Request{Scent: s}), Fault, c.want) {
			t.Errorf("%v: the check does not say %q", c.allergens, c.want)
		}
	}
}
