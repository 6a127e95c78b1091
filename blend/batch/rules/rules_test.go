package rules

import (
	"math"
	"slices"
	"testing"
)

// Limits in leave-on products as the entries of Annex V of Regulation (EC)
// No 1223/2009 give them.
func TestAnnexV(t *testing.T) {
	for _, c := range []struct {
		inci, entry string
		limit       float64
	}{
		{"Phenoxyethanol", "29", 1.0}, {"Benzyl Alcohol", "34", 1.0}, {"Sorbic Acid", "4", 0.6},
		{"Potassium Sorbate", "4", 0.6}, {"Benzoic Acid", "1", 0.5}, {"sodium benzoate", "1", 0.5},
		{"Salicylic Acid", "3", 0.5}, {"Dehydroacetic Acid", "13", 0.6}, {"Methylparaben", "12", 0.4},
		{"Propylparaben", "12a", 0.14}, {"Chlorphenesin", "50", 0.3}, {"Imidazolidinyl Urea", "27", 0.6},
		{"DMDM Hydantoin", "33", 0.6}, {"Diazolidinyl Urea", "46", 0.5}, {"Undecylenic Acid", "18", 0.2},
		{"Methylisothiazolinone", "57", 0}, {"Iodopropynyl Butylcarbamate", "56", 0},
	} {
		p := PreservativeOf(c.inci)
		if p == nil || p.Entry != c.entry || p.LimitPercent != c.limit {
			t.Errorf("%s: %+v, want entry %s limit %g", c.inci, p, c.entry, c.limit)
		}
	}
	for _, no := range []string{"Ethylhexylglycerin", "Glyceryl Caprylate", "Aqua", ""} {
		if p := PreservativeOf(no); p != nil {
			t.Errorf("%q is on Annex V as %+v", no, p)
		}
	}
	if p := PreservativeOf("Dehydroacetic Acid"); p.Spray {
		t.Error("entry 13: not in aerosol dispensers")
	}
}

// The acid factors are ratios of molar masses (g/mol, IUPAC 2021 atomic
// masses).
func TestAcidFactors(t *testing.T) {
	for _, c := range []struct {
		salt       string
		acid, mass float64
	}{
		{"Sodium Benzoate", 122.12, 144.10}, {"Potassium Benzoate", 122.12, 160.21}, {"Potassium Sorbate", 112.13, 150.22},
		{"Sodium Sorbate", 112.13, 134.11}, {"Sodium Salicylate", 138.12, 160.10}, {"Sodium Dehydroacetate", 168.15, 190.13},
		{"Methylparaben", 138.12, 152.15}, {"Ethylparaben", 138.12, 166.18}, {"Propylparaben", 138.12, 180.20}, {"Butylparaben", 138.12, 194.23},
	} {
		if f := PreservativeOf(c.salt).AcidFactor; math.Abs(f-c.acid/c.mass) > 2e-4 {
			t.Errorf("%s: factor %g, want %g", c.salt, f, c.acid/c.mass)
		}
	}
	// 0.5 % benzoic acid is 0.59 % sodium benzoate; 0.6 % sorbic acid is 0.80 % potassium sorbate
	if m := PreservativeOf("Sodium Benzoate").MaxPercent(); math.Abs(m-0.590) > 0.001 {
		t.Errorf("sodium benzoate at most %g %%", m)
	}
	if m := PreservativeOf("Potassium Sorbate").MaxPercent(); math.Abs(m-0.804) > 0.001 {
		t.Errorf("potassium sorbate at most %g %%", m)
	}
}

// Where 21 CFR part 73 subpart C allows each: everywhere (mica, iron oxides,
// titanium dioxide), externally and so not on lips by 70.3(v) (chromium
// oxides, ferrocyanide, ultramarines), or on nails only (silver).
func TestPart73(t *testing.T) {
	for _, c := range []struct {
		ci, section      string
		body, eyes, lips bool
	}{
		{"CI 77019", "73.2496", true, true, true}, {"77891", "73.2575", true, true, true},
		{"ci 77491", "73.2250", true, true, true}, {"CI 77492", "73.2250", true, true, true}, {"CI 77499", "73.2250", true, true, true},
		{"CI 77288", "73.2327", true, true, false}, {"CI 77289", "73.2326", true, true, false},
		{"CI 77510", "73.2299", true, true, false}, {"CI 77007", "73.2725", true, true, false},
		{"CI 77742", "73.2775", true, true, true}, {"CI 77163", "73.2162", true, true, true},
		{"CI 77000", "73.2645", true, true, false}, {"CI 77400", "73.2646", true, true, true},
		{"CI 75470", "73.2087", true, true, true}, {"CI 77820", "73.2500", false, false, false},
		{"CI 77947", "73.2991", true, true, true},
		{"CI 17200", "74.2333", true, false, true}, {"CI 61570", "74.2205", true, true, true}, {"CI 60725", "74.2602", true, false, false},
	} {
		got := ColourByCI(c.ci)
		if got == nil || got.Section != c.section || got.Body != c.body || got.Eyes != c.eyes || got.Lips != c.lips {
			t.Errorf("%s: %+v, want %+v", c.ci, got, c)
		}
	}
	if n := len(ColoursByName("Iron Oxides")); n != 4 {
		t.Errorf("%d iron oxides", n)
	}
	if c := ColoursByName("Titanium Dioxide"); len(c) != 1 || c[0].CI != "CI 77891" {
		t.Errorf("titanium dioxide: %v", c)
	}
	for ci, names := range map[string][]string{
		"CI 17200": {"D&C Red 33", "d&c red no. 33", "D & C Red #33", "Red 33 Lake", "D&C Red No. 33 Zirconium Lake"},
		"CI 16035": {"FD&C Red No. 40 Aluminum Lake", "Red 40", "Allura Red"},
		"CI 60730": {"Ext. D&C Violet No. 2"},
		"CI 60725": {"D&C Violet No. 2"},
		"CI 77266": {"D&C Black No. 2", "Carbon Black"},
	} {
		for _, n := range names {
			if c := ColoursByName(n); len(c) != 1 || c[0].CI != ci {
				t.Errorf("%s: %v, want %s", n, c, ci)
			}
		}
	}
	if c := ColoursByName("D&C Red No. 99"); c != nil {
		t.Errorf("there is no such dye: %v", c)
	}
	if c := ColoursByName("Tin Oxide"); c != nil {
		t.Errorf("tin oxide is no listed colour: %v", c)
	}
}

// Annex III names 81 substances and groups: 24 of the old 26, 12 older
// entries and 45 new ones (Regulation (EU) 2023/1545).
func TestAllergens(t *testing.T) {
	all := Allergens()
	if len(all) != 24+12+45 {
		t.Errorf("%d allergens", len(all))
	}
	oldOnes := 0
	for _, a := range all {
		if !a.New() {
			oldOnes++
		}
	}
	if oldOnes != 24 {
		t.Errorf("%d of the old list", oldOnes)
	}
	for name, label := range map[string]string{
		"linalool": "Linalool", "d-Limonene": "Limonene", "Damascenone": "Rose Ketones",
		"Lavandula Hybrida Oil": "Lavandula Oil/Extract", "Rosa Damascena Flower Oil": "Rose Flower Oil/Extract",
		"Citrus Aurantium Bergamia Peel Oil": "Citrus Aurantium Bergamia Peel Oil", "Citrus Aurantium Dulcis Peel Oil": "Citrus Aurantium Peel Oil",
		"Alpha-Pinene": "Pinene", "Cananga Odorata Flower Oil": "Cananga Odorata Oil/Extract", "Vanillin": "Vanillin",
	} {
		if a := AllergenOf(name); a == nil || a.Label != label {
			t.Errorf("%s: %+v, want %s", name, a, label)
		}
	}
	for _, no := range []string{"Aqua", "Rosmarinus Officinalis Leaf Oil", "Citrus", ""} {
		if a := AllergenOf(no); a != nil {
			t.Errorf("%q counts as %s", no, a.Label)
		}
	}
}

func TestIngredients(t *testing.T) {
	if in := IngredientOf("aqua"); in == nil || in.USName != "Water" {
		t.Errorf("aqua: %+v", in)
	}
	families := map[Family]bool{Triglyceride: true, Hydrocarbon: true, Silicone: true, Ester: true, Ricinoleate: true, Alcoholic: true, Watery: true, Other: true}
	for k, in := range ingredients().byINCI {
		if !families[in.Family] {
			t.Errorf("%s: family %q", k, in.Family)
		}
	}
}

// A name is what makers call it, its INCI or US name; a mixture's substances in any
// order are that mixture, with its usual shares as estimates, and others are none.
func TestNamed(t *testing.T) {
	for name, inci := range map[string]string{"Water": "Aqua", " glycerin ": "Glycerin", "vitamin e": "Tocopherol", "shea butter": "Butyrospermum Parkii Butter"} {
		if in, mix := Named(name); mix != nil || in == nil || in.INCI != inci {
			t.Errorf("%q: %+v, %+v", name, in, mix)
		}
	}
	for _, no := range []string{"", "  ", "dragon oil"} {
		if in, mix := Named(no); in != nil || mix != nil {
			t.Errorf("%q: %+v, %+v", no, in, mix)
		}
	}
	for _, m := range mixtures() {
		for _, name := range append([]string{m.Name}, m.also...) {
			if in, mix := Named(name); in != nil || mix != m {
				t.Errorf("%q: %+v, %+v", name, in, mix)
			}
		}
		turned := slices.Clone(m.Subs)
		slices.Reverse(turned)
		if got := SoldAs(turned); got != m || !got.Subs[0].Estimated {
			t.Errorf("%s: %+v", m.Name, got)
		}
		turned[0].INCI += " and more"
		if got := SoldAs(turned); got != nil {
			t.Errorf("%s with another substance: %+v", m.Name, got)
		}
		if got := SoldAs(m.Subs[1:]); got != nil {
			t.Errorf("%s with one less: %+v", m.Name, got)
		}
	}
	names := Names()
	for _, want := range []string{"aqua", "vitamin e", mixtures()[0].Name} {
		if !slices.Contains(names, want) {
			t.Errorf("%q is not among the names", want)
		}
	}
}

func TestSources(t *testing.T) {
	if s := PreservativeOf("Phenoxyethanol").Source(); s != "Annex V entry 29, Regulation (EC) No 1223/2009" {
		t.Error(s)
	}
	if s := ColourByCI("CI 77019").Source(); s != "21 CFR 73.2496" {
		t.Error(s)
	}
}
