package batch

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tawny/blend/batch/rules"
	"tawny/blend/flake"
	"tawny/blend/palette"
)

// demoGold and demoRed are invented powders of usual properties.

func demoGold() *palette.Pigment {
	return &palette.Pigment{Name: "Demo gold", Family: "gold", INCI: []palette.Ingredient{{INCI: "Mica", Percent: 60}, {INCI: "Titanium Dioxide", Percent: 39.5}, {INCI: "Tin Oxide", Percent: 0.5}},
		CI: []string{"CI 77019", "CI 77891", "CI 77861"}, Layers: []flake.Layer{{Material: "rutile", ThicknessNM: 75}}, Substrate: 400,
		D10: 10, D50: 25, D90: 60, Density: 3.1, BulkDensity: 0.25, OilAbsorption: 80, PricePerG: 0.15, Lot: "G-01",
		Areas: []palette.Area{palette.Body, palette.Eyes, palette.Lips}, Source: palette.Demo}
}

func demoRed() *palette.Pigment {
	return &palette.Pigment{Name: "Demo iron red", Family: "oxide", INCI: []palette.Ingredient{{INCI: "Iron Oxides", Percent: 100}},
		CI: []string{"CI 77491"}, D10: 0.2, D50: 0.4, D90: 0.9, Density: 5.1, BulkDensity: 0.8, OilAbsorption: 25, PricePerG: 0.05,
		Areas: []palette.Area{palette.Body, palette.Eyes, palette.Lips}, Source: palette.Demo}
}

func mustFind(t testing.TB, name string) Base {
	t.Helper()
	b, err := Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// randomBase draws a base of any kind with random percentages to 0.01 %.
func randomBase(r *rapid.T) Base {
	kind := rapid.SampledFrom(Kinds).Draw(r, "kind")
	if kind != Ready && rapid.IntRange(0, 3).Draw(r, "own recipe") == 0 {
		return randomRecipe(r)
	}
	b := Base{Name: "Random", Kind: kind, Density: rapid.Float64Range(0.7, 1.3).Draw(r, "density"),
		Consistency: rapid.SampledFrom(Consistencies).Draw(r, "consistency"), MaxAddPercent: 10, WarmMaxC: 40}
	n := rapid.IntRange(1, 18).Draw(r, "n")
	left := 4000 // hundredths of a per cent for all but the filler
	for i := range n {
		in := Ingredient{Phase: rapid.SampledFrom(phasesOf[kind]).Draw(r, "phase"), Name: string(rune('a' + i)), INCI: string(rune('a' + i)), Roles: []Role{RoleEmollient}}
		if kind != Ready && i > 0 {
			p := rapid.IntRange(1, max(1, left/(n-i))).Draw(r, "p")
			left -= p
			in.Percent = float64(p) / 100
		}
		b.Ingredients = append(b.Ingredients, in)
	}
	if kind != Ready {
		b.Ingredients[0].Percent = 60 + float64(left)/100
		if rapid.Bool().Draw(r, "named filler") {
			b.Ingredients[0].Roles = append(b.Ingredients[0].Roles, RoleFiller)
		}
	}
	return b
}

// randomRecipe draws a maker's own lines of what the tables know, of any kind
// that comes of them, sprays among them.
func randomRecipe(r *rapid.T) Base {
	names := rules.Names()
	lines, left, had := "", 4000, map[string]bool{}
	for range rapid.IntRange(1, 12).Draw(r, "lines") {
		name := rapid.SampledFrom(names).Draw(r, "ingredient")
		p := rapid.IntRange(1, max(1, left/4)).Draw(r, "hundredths")
		if k := strings.ToLower(name); !had[k] && p <= left && !strings.ContainsAny(name, "0123456789") && k != "water" && k != "castor oil" {
			had[k] = true
			left -= p
			lines += fmt.Sprintf("%s %.2f\n", name, float64(p)/100)
		}
	}
	main := rapid.SampledFrom([]string{"water", "castor oil", "alcohol denat."}).Draw(r, "main")
	b, err := ParseRecipe(main+" to 100\n"+strings.ReplaceAll(lines, main, "jojoba"), "own.txt")
	if err != nil {
		r.Skip(err) // twice the same by another name, say
	}
	return b
}

// A loss too small to weigh takes no container off.
func TestALossOfNothing(t *testing.T) {
	b, err := Scale(Request{Base: Base{Name: "Demo", Kind: Ready, Density: 0.7, Consistency: Thin, Ingredients: []Ingredient{{Phase: PhaseBase, Name: "a", INCI: "a"}}}, Balance: Balance{5, 0}, Containers: 200, ContainerML: 5, LossPercent: 5.093170329928398e-10, OverfillPercent: 5})
	if err != nil {
		t.Fatal(err)
	}
	if b.Filling.Filled != 200 || b.Fills(b.TotalG) != 200 {
		t.Errorf("fills %d, %d", b.Filling.Filled, b.Fills(b.TotalG))
	}
}

// Every weight is a whole number of balance steps and they sum to the batch
// exactly, whatever the base, the size and the balance; so do the parts in
// the steps, line by line.
func TestWeightsSumExactly(t *testing.T) {
	balances := []float64{1, 0.1, 0.01, 0.001, 0.5, 0.02, 5}
	cases, scaled, recipes, refused := 0, 0, 0, 0
	run := func(r *rapid.T) {
		bal, err := NewBalance(rapid.SampledFrom(balances).Draw(r, "balance"))
		if err != nil {
			r.Fatal(err)
		}
		req := Request{Base: randomBase(r), Balance: bal}
		cases++
		if req.Base.Source != "" {
			recipes++
		}
		for i, p := range []*palette.Pigment{demoGold(), demoRed()}[:rapid.IntRange(0, 2).Draw(r, "powders")] {
			req.Parts = append(req.Parts, Part{p, float64(rapid.IntRange(1, 600).Draw(r, "load")) / 100})
			_ = i
		}
		if rapid.Bool().Draw(r, "by containers") {
			req.Containers = rapid.IntRange(1, 200).Draw(r, "containers")
			req.ContainerML = rapid.Float64Range(5, 500).Draw(r, "ml")
			req.LossPercent = rapid.Float64Range(0, 8).Draw(r, "loss")
			req.OverfillPercent = rapid.Float64Range(0, 5).Draw(r, "overfill")
		} else {
			req.Grams = rapid.Float64Range(20, 20000).Draw(r, "grams")
		}
		if rapid.Bool().Draw(r, "scent") {
			req.Scent = &Scent{Name: "Demo scent", Percent: 0.8}
		}
		b, err := Scale(req)
		if err != nil && strings.Contains(err.Error(), "less than one step of the balance") {
			refused++ // a preservative's limit that a coarse balance cannot keep in a small batch
			return
		}
		if err != nil {
			r.Fatalf("%+v: %v", req, err)
		}
		scaled++
		sum, weighed := int64(0), int64(0)
		parts := make([]int64, len(b.Weighings))
		for _, s := range b.Steps {
			for _, w := range s.Weights {
				if w.Steps <= 0 || w.Grams != bal.Grams(w.Steps) {
					r.Fatalf("step %q weighs %d steps, %v g", s.Title, w.Steps, w.Grams)
				}
				parts[w.Line] += w.Steps
				weighed += w.Steps
			}
		}
		if weighed != b.TotalSteps {
			r.Fatalf("the steps of work weigh %d steps, the batch is %d", weighed, b.TotalSteps)
		}
		// a premix goes in for its powder, as much less of the carrier
		for _, p := range b.Premixes {
			for i, l := range b.Weighings {
				less := int64(math.Round(p.LessG / b.BalanceG))
				switch l.Name {
				case p.Carrier:
					parts[i] += less
				case p.Powder:
					parts[i] -= less
				}
			}
		}
		percent := 0.0
		for i, l := range b.Weighings {
			if l.Steps < 0 || l.Grams != bal.Grams(l.Steps) {
				r.Fatalf("%s: %d steps, %v g", l.Name, l.Steps, l.Grams)
			}
			if parts[i] != l.Steps {
				r.Fatalf("%s: %d steps weighed, %d used in the steps of work", l.Name, l.Steps, parts[i])
			}
			if !l.Filler && math.Abs(float64(l.Steps)-l.Percent/100*float64(b.TotalSteps)) > 1.5+float64(len(b.Weighings)) {
				r.Fatalf("%s: %d steps where %v %% of %d was asked", l.Name, l.Steps, l.Percent, b.TotalSteps)
			}
			sum += l.Steps
			percent += l.Percent
		}
		if sum != b.TotalSteps || b.TotalG != bal.Grams(sum) {
			r.Fatalf("weights sum to %d steps, batch is %d (%v g)", sum, b.TotalSteps, b.TotalG)
		}
		if math.Abs(percent-100) > 1e-6 {
			r.Fatalf("percentages sum to %v", percent)
		}
		if f := b.Filling; req.Containers > 0 && f.Filled < req.Containers {
			r.Fatalf("asked for %d containers, fills %d", req.Containers, f.Filled)
		}
		if cases%50 != 0 {
			return // one sheet in fifty is enough
		}
		var out bytes.Buffer
		if err := Text(&out, b); err != nil || !strings.Contains(out.String(), b.Format(b.TotalSteps)) {
			r.Fatalf("sheet: %v", err)
		}
	}
	for range 105 { // rapid runs 100 a call, 20 with -short
		rapid.Check(t, run)
		if t.Failed() {
			return
		}
	}
	t.Logf("%d batches, %d of own recipes, %d refused for a limit under one step", scaled, recipes, refused)
	if scaled < cases-refused || refused > cases/20 || scaled < 10000 && !testing.Short() {
		t.Fatalf("only %d batches scaled of %d, %d refused", scaled, cases, refused)
	}
}
