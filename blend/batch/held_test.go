package batch

import (
	"flag"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"tawny/blend/batch/rules"
	"tawny/blend/palette"
)

var update = flag.Bool("update", false, "write anew what the rules say; look at the difference")

const heldFile, saidFile = "../../testdata/batch/rules.txt", "../../testdata/batch/said.txt"

const waterSpray = `# base: Water spray
# kind: spray
# density_g_ml: 1.01
# consistency: thin
# ph: 4.8-5.2
phase,name,inci,percent,roles
water,Water,Aqua,90,solvent;filler
wetting,Glycerin,Glycerin,9,humectant
cool,Keeper,Phenoxyethanol,1,preservative
`

// briefly are the stops and faults of a check, each with what it rests on and its
// first words.
func briefly(fs []Finding) string {
	var out []string
	for _, f := range fs {
		if f.Severity == Stop || f.Severity == Fault {
			out = append(out, fmt.Sprintf("%s [%s] %s", f.Severity, f.Source, strings.Join(strings.Fields(f.Text)[:3], " ")))
		}
	}
	return strings.Join(out, "; ")
}

// heldBy says what each kind of row of the rules does to a product, by its name.
var heldBy = map[string]func(t *testing.T, name string) string{
	"preservative": func(t *testing.T, name string) string {
		var out []string
		for _, c := range []struct {
			base, percent string
			area          palette.Area
		}{
			{plainLotion, "5", palette.Body}, {plainLotion, "0.001", palette.Body}, {plainLotion, "0.001", palette.Lips}, {waterSpray, "0.001", palette.Body},
			{strings.Replace(plainLotion, "4.8-5.2", "1-1", 1), "0.001", palette.Body}, {strings.Replace(plainLotion, "4.8-5.2", "13-13", 1), "0.001", palette.Body},
		} {
			b := baseFrom(t, keeper.ReplaceAllString(c.base, ""))
			b.Ingredients = append(b.Ingredients, Ingredient{Phase: PhaseCool, Name: "It", INCI: name, Percent: number64(c.percent), Roles: []Role{RolePreservative}})
			out = append(out, briefly(slices.DeleteFunc(Check(b, Request{Area: c.area}),
				func(f Finding) bool { return f.About != "It" })))
		}
		p := rules.PreservativeOf(name)
		return strings.Join(append(out, fmt.Sprintf("least %g, weak against %s", p.LeastPercent, p.WeakAgainst)), " / ")
	},
	"colour": func(t *testing.T, name string) string {
		p := powder("It", "Talc", name)
		var out []string
		for _, c := range []struct {
			base string
			area palette.Area
		}{
			{plainLotion, palette.Body}, {plainLotion, palette.Eyes}, {plainLotion, palette.Lips}, {waterSpray, palette.Body},
			{strings.Replace(plainLotion, "4.8-5.2", "2-2", 1), palette.Body}, {strings.Replace(plainLotion, "4.8-5.2", "11-11", 1), palette.Body},
		} {
			out = append(out, briefly(slices.DeleteFunc(Check(baseFrom(t, c.base), Request{Area: c.area, Parts: []Part{{p, 0.5}}}), func(f Finding) bool { return f.About != "It" })))
		}
		b, err := Scale(Request{Base: baseFrom(t, plainLotion), Grams: 100, Parts: []Part{{p, 2}}})
		if err != nil {
			t.Fatal(err)
		}
		eu, us := strings.Split(b.Label.EU.Ingredients, ", "), strings.Split(b.Label.US.Ingredients, ", ")
		return strings.Join(append(out, eu[len(eu)-1]+" = "+us[len(us)-1]), " / ")
	},
	"allergen": func(t *testing.T, name string) string {
		b, err := Scale(Request{Base: baseFrom(t, plainLotion), Grams: 1000, Scent: &Scent{Name: "Scent", Percent: 1, Allergens: []Allergen{{name, 50}}}})
		if err != nil {
			return err.Error()
		}
		list := strings.Split(b.Label.EU.Ingredients, ", ")
		return list[len(list)-1] + fmt.Sprintf(" new %t", strings.Contains(strings.Join(b.Label.EU.Notes, " "), "longer list"))
	},
	"barred": func(t *testing.T, name string) string {
		b := baseFrom(t, plainLotion)
		b.Ingredients = append(b.Ingredients, Ingredient{Phase: PhaseCool, Name: "It", INCI: name, Percent: 0.001, Roles: []Role{RoleUnknown}})
		return briefly(slices.DeleteFunc(Check(b, Request{}),
			func(f Finding) bool { return f.About != "It" }))
	},
	"ingredient": func(t *testing.T, name string) string {
		b, err := ParseRecipe("water 60, "+name+" 40", "r")
		if err != nil {
			return err.Error()
		}
		var out []string
		for _, in := range b.Ingredients {
			if in.Percent == 40 {
				var of []string
				for _, s := range in.Substances() { // with their usual shares
					of = append(of, s.String())
				}
				if len(of) > 1 && !strings.ContainsAny(in.INCI, "=~") {
					in.INCI = "usually " + strings.Join(of, ";")
				}
				out = append(out, fmt.Sprintf("%s %s %s below %g", in.Phase, list(in.Roles), in.INCI, in.AddBelowC))
			}
		}
		for _, f := range Check(b, Request{}) {
			if strings.Contains(f.Text, "unsaturated") {
				out = append(out, "rancid")
			}
		}
		if b.HeatC.Stated() {
			out = append(out, "heated to "+span(b.HeatC))
		}
		return strings.Join(out, "; ")
	},
}

var keeper = regexp.MustCompile(`cool,Keeper.*\n`)

func number64(s string) (v float64) { fmt.Sscan(s, &v); return v }

// ruleRows are the names that there are rows of, of each kind.
func ruleRows(t *testing.T) map[string][]string {
	out := map[string][]string{}
	for kind, file := range map[string]string{"preservative": "preservatives.csv", "colour": "colours.csv", "allergen": "allergens.csv", "barred": "barred.csv", "ingredient": "ingredients.csv"} {
		data, err := os.ReadFile("rules/" + file)
		if err != nil {
			t.Fatal(err)
		}
		head := true
		for line := range strings.Lines(string(data)) {
			if name, _, _ := strings.Cut(line, ","); !strings.HasPrefix(line, "#") && !head {
				out[kind] = append(out[kind], strings.Trim(name, `"`))
			} else if !strings.HasPrefix(line, "#") {
				head = false
			}
		}
	}
	data, err := os.ReadFile("rules/mixtures.csv")
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(data)) {
		if name, _, _ := strings.Cut(line, ","); !strings.HasPrefix(line, "#") && name != "name" {
			out["ingredient"] = append(out["ingredient"], name)
		}
	}
	return out
}

// Every row of the rules does what was once looked at: a row taken out, or changed
// in what it stops, is missed here, since the names tried are those of the list and
// not of the rows. The published limits themselves are held in package rules.
func TestEveryRuleIsHeld(t *testing.T) {
	if *update {
		var out strings.Builder
		rows := ruleRows(t)
		for _, kind := range []string{"preservative", "colour", "allergen", "barred", "ingredient"} {
			for _, name := range rows[kind] {
				fmt.Fprintf(&out, "%s | %s | %s\n", kind, name, heldBy[kind](t, name))
			}
		}
		if err := os.WriteFile(heldFile, []byte(out.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	data, err := os.ReadFile(heldFile)
	if err != nil {
		t.Fatal(err)
	}
	tried := map[string][]string{}
	for line := range strings.Lines(string(data)) {
		said := strings.SplitN(strings.TrimSuffix(line, "\n"), " | ", 3)
		kind, name := said[0], said[1]
		tried[kind] = append(tried[kind], name)
		func() {
			defer func() {
				if lost := recover(); lost != nil {
					t.Errorf("%s %s: the row is gone: %v", kind, name, lost)
				}
			}()
			if got := heldBy[kind](t, name); got != said[2] {
				t.Errorf("%s %s: %s\nwas %s", kind, name, got, said[2])
			}
		}()
	}
	for kind, names := range ruleRows(t) {
		for _, n := range names {
			if !slices.Contains(tried[kind], n) {
				t.Errorf("%s %s is held by nothing; look at what -update writes of it", kind, n)
			}
		}
	}
}

var action = regexp.MustCompile(`\{\{.*?\}\}`)

// Every line of what is found and cautioned is said of some product here, and stands
// in a list of what once was: one taken out is missed.
func TestEveryWordIsSaid(t *testing.T) {
	titania := powder("white", "Titanium Dioxide", "CI 77891")
	scent := &Scent{Name: "Scent", Percent: 2, MaxPercent: 1, Allergens: []Allergen{{"Butylphenyl Methylpropional", 99}, {"Linalool", 99}}}
	var said strings.Builder
	for _, c := range []struct {
		base string
		with Request
	}{
		{plainLotion, Request{}}, {plainLotion, Request{Area: palette.Eyes}},
		{swap("80.2", "70.2", "solvent;filler", "solvent", "# ph: 4.8-5.2\n", "", "70-75", "60-62", ",emulsifier,,20,40,oil,11", ",emulsifier,,20,40,oil,5"), Request{Area: palette.Eyes, Scent: &Scent{Name: "Scent", Percent: 0.5}}},
		{swap("Emulsifier,Glyceryl Stearate;PEG-100 Stearate,4,emulsifier,,20,40,oil,11", "More,Squalane,4,emollient,,,,,"), Request{Area: palette.Lips}},
		{swap("kind: lotion", "kind: oil", "water,Water,Aqua,80.2", "oil,Water,Aqua,80.2", "70-75", "88-90"), Request{}},
		{plainLotion, Request{Scent: scent}}, {swap("4.8-5.2", "9-9"), Request{}},
		{plainLotion, Request{Parts: []Part{{titania, 0.1}}}}, {plainLotion, Request{Parts: []Part{{titania, 7}}}}, {plainLotion, Request{Parts: []Part{{titania, 15}}}},
		{waterSpray, Request{Parts: []Part{{titania, 3}}}},
		{strings.NewReplacer("Aqua,90", "Alcohol Denat.,90", "# ph", "# heat_c: 30-31\n# ph").Replace(waterSpray), Request{}},
	} {
		c.with.Base, c.with.Grams = baseFrom(t, c.base), 500
		for _, f := range Check(c.with.Base, c.with) {
			said.WriteString(f.Text + "\n")
		}
		if b, err := Scale(c.with); err == nil {
			for _, c := range b.Cautions {
				said.WriteString(c.Text + "\n")
			}
		}
	}
	r, err := ParseRecipe("oil phase\nsunflower oil 80, beeswax 20", "r")
	if err != nil {
		t.Fatal(err)
	}
	for _, base := range []Base{r, mustFind(t, "bought-white-lotion")} {
		for _, most := range []float64{0, 1} {
			base.MaxAddPercent = most
			b, err := Scale(Request{Base: base, Grams: 500, Parts: []Part{{demoGold(), 4}}})
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range b.Findings {
				said.WriteString(f.Text + "\n")
			}
			for _, c := range b.Cautions {
				said.WriteString(c.Text + "\n")
			}
		}
	}
	var all []string
	for _, file := range []string{"words/findings.tmpl", "words/cautions.tmpl"} {
		data, err := wordFiles.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		comment := false
		for line := range strings.Lines(string(data)) {
			comment = comment || strings.HasPrefix(line, "{{/*")
			if !comment && strings.TrimSpace(action.ReplaceAllString(line, "")) != "" {
				parts := strings.Split(strings.TrimSpace(line), " | ")
				text := parts[len(parts)-1]
				if strings.Contains(file, "cautions") {
					_, text, _ = strings.Cut(parts[0], ": ")
				}
				longest := ""
				for _, piece := range action.Split(text, -1) {
					if len(piece) > len(longest) {
						longest = piece
					}
				}
				if all = append(all, longest); !strings.Contains(said.String(), longest) {
					t.Errorf("%s: nothing here makes it say %q", file, longest)
				}
			}
			comment = comment && !strings.Contains(line, "*/")
		}
	}
	if *update {
		if err := os.WriteFile(saidFile, []byte(strings.Join(all, "\n")+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	data, err := os.ReadFile(saidFile)
	if err != nil {
		t.Fatal(err)
	}
	was := strings.Split(strings.TrimSuffix(string(data), "\n"), "\n")
	for i := range max(len(all), len(was)) {
		if i >= len(all) || i >= len(was) || all[i] != was[i] {
			t.Fatalf("line %d of %s is not what is said: %q", i+1, saidFile, append(all, make([]string, len(was))...)[i])
		}
	}
}
