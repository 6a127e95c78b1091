package batch

import (
	"math"
	"slices"
	"strings"
	"testing"

	"tawny/blend/palette"
)

func scaled(t *testing.T, base string, parts ...Part) *Batch {
	t.Helper()
	b, err := Scale(Request{Base: mustFind(t, base), Grams: 500, Parts: parts, Scent: &Scent{Name: "Demo scent", Percent: 0.5, MaxPercent: 1}})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// order is the place of the first step whose title holds the words.
func order(t *testing.T, b *Batch, words string) int {
	t.Helper()
	i := slices.IndexFunc(b.Steps, func(s Step) bool { return strings.Contains(s.Title, words) })
	if i < 0 {
		t.Errorf("%s: no step %q", b.Base, words)
	}
	return i
}

func rising(t *testing.T, b *Batch, words ...string) {
	t.Helper()
	last := -1
	for _, w := range words {
		i := order(t, b, w)
		if i <= last {
			t.Errorf("%s: step %q is out of order", b.Base, w)
		}
		last = i
	}
}

// Lotion, as common practice has it: phases heated apart to 70–75 °C and held
// covered 20 minutes, water made good, combined, cooled stirring, sensitive
// ingredients below their temperatures (hottest first, pH last), the powders
// after the emulsion has formed, pH and weight.
func TestLotionOrder(t *testing.T) {
	b := scaled(t, "everyday-lotion", Part{demoGold(), 4}, Part{demoRed(), 0.5})
	rising(t, b, "Make ready", "water phase", "oil phase", "Heat both", "water lost", "Combine", "Cool, stirring",
		"Below 40 °C", "Set the pH", "Rub down", "Stir in the shimmer", "Measure the pH", "Check the weight", "Fill", "Label")
	heat := b.Steps[order(t, b, "Heat both")]
	if heat.TempC != (Range{70, 75}) || heat.Minutes != (Range{20, 20}) || !strings.Contains(strings.Join(heat.Do, " "), "within 5 °C of each other") {
		t.Errorf("%+v", heat)
	}
	if len(heat.Readings) < 2 {
		t.Error("no temperatures to write down")
	}
	// nothing goes in hotter than its limit: every line with an add-below
	// temperature is weighed in a step at or under it
	for _, s := range b.Steps {
		for _, w := range s.Weights {
			if limit := b.Weighings[w.Line].AddBelowC; limit > 0 && (s.TempC.High == 0 || s.TempC.High > limit) {
				t.Errorf("%s goes in at %v, limit %g °C", w.Name, s.TempC, limit)
			}
		}
	}
	if b.TopUp == nil || b.TopUp.LowG <= 0 || b.TopUp.HighG <= b.TopUp.LowG {
		t.Errorf("top-up %+v", b.TopUp)
	}
}

// The lines of the water phase stand in the order of the words: a gum into its humectant,
// then the water, or onto the water where there is none; without a gum the water last.
func TestWaterPhaseOrder(t *testing.T) {
	dry := mustFind(t, "everyday-lotion")
	dry.Ingredients = slices.DeleteFunc(slices.Clone(dry.Ingredients), func(in Ingredient) bool { return in.Name == "Glycerin" })
	dry.Ingredients[0].Percent += 100 - dry.Sum()
	for want, b := range map[string]Base{
		"Glycerin, Xanthan gum, Purified water, Chelator":              mustFind(t, "everyday-lotion"),
		"Glycerin, Chelator, Purified water":                           mustFind(t, "body-butter-cream"),
		"Purified water, Xanthan gum, Chelator":                        dry,
		"Propanediol, Xanthan gum, Purified water, Chelator, Glycerin": mustFind(t, "light-body-milk"),
	} {
		made, err := Scale(Request{Base: b, Grams: 300, Parts: []Part{{demoGold(), 3}}})
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for _, w := range made.Steps[order(t, made, "water phase")].Weights {
			names = append(names, w.Name)
		}
		if got := strings.Join(names, ", "); got != want {
			t.Errorf("%s: %s, want %s", b.Name, got, want)
		}
	}
}

// Every base: no step is hotter for a line than the line allows.
func TestNothingTooHot(t *testing.T) {
	bs := Builtin()
	for _, base := range bs {
		b, err := Scale(Request{Base: base, Grams: 300, Parts: []Part{{demoGold(), 3}}})
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range b.Steps {
			for _, w := range s.Weights {
				if limit := b.Weighings[w.Line].AddBelowC; limit > 0 && (s.TempC.High == 0 || s.TempC.High > limit) {
					t.Errorf("%s: %s goes in at %v, limit %g °C", base.Name, w.Name, s.TempC, limit)
				}
			}
			if base.Kind == Ready && s.TempC.High > base.WarmMaxC {
				t.Errorf("%s: %q at %v, no hotter than %g °C", base.Name, s.Title, s.TempC, base.WarmMaxC)
			}
		}
	}
}

// Oil: wetted in castor to a slurry, thinned, rinsed back, then antioxidant
// and scent; no water, no heat.
func TestOilOrder(t *testing.T) {
	b := scaled(t, "silk-body-oil", Part{demoGold(), 4})
	rising(t, b, "Make ready", "carrier", "Wet the powders", "Thin and rinse", "Add the cool phase", "lumps", "Fill", "Label")
	wet := b.Steps[order(t, b, "Wet")]
	names := []string{}
	for _, w := range wet.Weights {
		names = append(names, w.Name)
	}
	if !slices.Contains(names, "Castor oil") || !slices.Contains(names, "Demo gold") {
		t.Errorf("wetting weighs %v", names)
	}
	for _, s := range b.Steps {
		if strings.Contains(strings.Join(s.Do, " "), "boiled purified water") {
			t.Errorf("water in an oil: %q", s.Title)
		}
	}
	if b.TopUp != nil {
		t.Error("an oil loses no water")
	}
}

// What is added to a finished batch goes in by the words of the sheet it would have had.
func TestStirInIsTheSheets(t *testing.T) {
	gold, red := demoGold(), demoRed()
	said := Lotion.StirIn([]*palette.Pigment{gold, red})
	if of := Lotion.StirIn(nil); of == nil || len(of) > 0 {
		t.Errorf("of no powders: %#v", of)
	}
	b := scaled(t, "everyday-lotion", Part{gold, 2}, Part{red, 2})
	sheet := map[string]string{}
	for _, s := range b.Steps {
		sheet[s.Title] = strings.Join(s.Do, " ")
	}
	rubbed, folded := sheet["Rub down the plain colours"], sheet["Stir in the shimmer"]
	_, folded, _ = strings.Cut(folded, "Fold each")
	rubbed = strings.Replace(rubbed, "the finished lotion", "the batch", 1)
	if len(said) != 2 || rubbed == "" || said[0] != "Rub down "+red.Name+". "+rubbed || folded == "" || !strings.HasPrefix(said[1], "Stir in "+gold.Name+". Mask on.") || !strings.HasSuffix(said[1], folded) {
		t.Errorf("%q\nwhere the sheet says %q and %q", said, rubbed, folded)
	}
}

// Ready made: no phases, warmed gently at most, stirred in.
func TestReadyOrder(t *testing.T) {
	b := scaled(t, "bought-white-lotion", Part{demoGold(), 4}, Part{demoRed(), 0.5})
	rising(t, b, "Make ready", "Weigh the base", "Warm gently", "Rub down", "Stir in the shimmer", "Below 40 °C", "pH", "Fill")
	for _, s := range b.Steps {
		if strings.Contains(s.Title, "Heat") || strings.Contains(s.Title, "Combine") {
			t.Errorf("a bought base has no %q", s.Title)
		}
	}
}

// A mist is sieved finer than its nozzle; a structured oil is warmed first.
func TestMistAndGel(t *testing.T) {
	b := scaled(t, "stage-mist-oil", Part{demoRed(), 1})
	if s := b.Steps[order(t, b, "lumps")]; !strings.Contains(strings.Join(s.Do, " "), "finer than the nozzle") {
		t.Errorf("%+v", s)
	}
	b = scaled(t, "standing-gel-oil", Part{demoGold(), 4})
	rising(t, b, "carrier", "Warm and dissolve", "Cool", "Wet the powders")
	if b.Suspension == nil || !b.Suspension.Holds || b.Filling.KeepStirring {
		t.Errorf("%+v", b.Suspension)
	}
}

// Cautions stand where they belong.
func TestCautions(t *testing.T) {
	has := func(b *Batch, words string) bool {
		return slices.ContainsFunc(b.Cautions, func(c Caution) bool { return strings.Contains(c.Text, words) && c.Source != "" })
	}
	lotion := scaled(t, "everyday-lotion", Part{demoGold(), 4})
	oil := scaled(t, "silk-body-oil", Part{demoGold(), 4})
	mist := scaled(t, "stage-mist-oil", Part{demoGold(), 2})
	plainMist := scaled(t, "stage-mist-oil", Part{demoRed(), 1})
	for _, c := range []struct {
		words                        string
		lotion, oil, mist, plainMist bool
	}{
		{"scald", true, false, false, false},
		{"burns skin and eyes", true, false, false, false},
		{"dust mask", true, true, true, true},
		{"Do not breathe the mist", false, false, true, true},
		{"NOT FOR SALE IN THE EU", false, false, true, false},
		{"challenge test", true, false, false, false},
		{"patch", true, true, true, true},
		{"lead at most 20, arsenic 3, mercury 1", true, true, true, true},
		{"keep water", false, true, true, true},
		{"slippery", false, true, true, true},
		{"comes off on cloth", true, true, true, true},
		{"Alcohol burns", true, true, true, true},
		{"qualified safety assessor", true, true, true, true},
		{"away from eyes and lips", true, true, true, true},
	} {
		for _, x := range []struct {
			b    *Batch
			want bool
		}{{lotion, c.lotion}, {oil, c.oil}, {mist, c.mist}, {plainMist, c.plainMist}} {
			if has(x.b, c.words) != x.want {
				t.Errorf("%s: %q is %v, want %v", x.b.Base, c.words, !x.want, x.want)
			}
		}
	}
}

// A premix goes in instead of its powder, and its carrier is less by what it
// brings, in every kind of base: nobody adds either twice.
func TestPremixInTheSteps(t *testing.T) {
	for _, name := range []string{"everyday-lotion", "silk-body-oil", "bought-white-lotion", "stage-mist-oil"} {
		b, err := Scale(Request{Base: mustFind(t, name), Grams: 200, Parts: []Part{{demoGold(), 2}, {demoRed(), 0.2}}})
		if err != nil {
			t.Fatal(err)
		}
		if len(b.Premixes) != 1 {
			t.Fatalf("%s: premixes %+v", name, b.Premixes)
		}
		p := b.Premixes[0]
		rising(t, b, "Make ready", "Make the premix", "Fill")
		var takes, powder, carrier, table, sum int64
		for _, l := range b.Weighings {
			switch l.Name {
			case p.Carrier:
				table = l.Steps
				if l.WeighG != b.balance().Grams(l.Steps-steps(p.LessG, b)) || !strings.Contains(l.Note, b.Format(steps(p.LessG, b))+" g more is in the premix") {
					t.Errorf("%s: beside %s stands %q", name, l.Name, l.Note)
				}
			case p.Powder:
				if l.WeighG != p.TakeG || !strings.Contains(l.Note, "instead of") {
					t.Errorf("%s: beside %s stands %q", name, l.Name, l.Note)
				}
			}
		}
		for _, s := range b.Steps {
			for _, w := range s.Weights {
				sum += w.Steps
				switch {
				case w.Premix:
					takes += w.Steps
				case w.Name == p.Powder:
					powder += w.Steps
				case w.Name == p.Carrier:
					carrier += w.Steps
				}
			}
		}
		if 2*(table-carrier) > table {
			t.Errorf("%s: the premix takes %d steps of %d of %s", name, table-carrier, table, p.Carrier)
		}
		if takes != steps(p.TakeG, b) || powder != 0 || carrier != table-steps(p.LessG, b) || sum != b.TotalSteps {
			t.Errorf("%s: %d steps of premix, %d of powder, %d of carrier (%d in the table), %d in all; premix %+v", name, takes, powder, carrier, table, sum, p)
		}
	}
}

func steps(g float64, b *Batch) int64 { return int64(math.Round(g / b.BalanceG)) }

// What is to be kept by is rounded up to two digits and no others are printed.
func TestUpTo(t *testing.T) {
	for g, want := range map[float64]string{7.525: "7.6", 7: "7", 0.0301: "0.031", 14.6: "15", 146.2: "150", 1.2e6 + 1: "1300000"} {
		if got := upTo(g); got != want {
			t.Errorf("%g: %s, want %s", g, got, want)
		}
	}
}
