package job

import (
	"context"
	"math"
	"testing"

	"tawny/blend/batch"
)

// A recipe the maker gives is weighed as given: each powder within half a step
// of the balance, whatever the target; and a matched one, where that is not to be seen:
// on a coarse balance within two steps.
func TestSheetKeepsTheRecipe(t *testing.T) {
	given := map[string]float64{"pale gold": 2.5, "violet gleam": 1.03, "red oxide": 0.11}
	r, err := blendOf(Input{
		Skin: "tan", Target: "skin:2,6,20", Grams: 137, Balance: 0.1,
		Parts: []string{"pale gold=2.5", "violet gleam=1.03", "red oxide=0.11"},
	})
	if err != nil {
		t.Fatal(err)
	}
	b, err := r.Batch()
	if err != nil {
		t.Fatal(err)
	}
	for name, grams := range weighed(b) {
		// The total is whole steps too, so the last powder may be one off.
		if want := given[name] * 1.37; math.Abs(grams-want) > 0.1 {
			t.Errorf("%s: %g g on the sheet, %g g in the recipe", name, grams, want)
		}
	}
	for _, of := range []struct{ grams, balance, within float64 }{{150, 0.01, 0.0075}, {100, 0.01, 0.0075}, {15, 0.1, 0.2}, {10, 0.1, 0.2}} {
		m, err := Match(context.Background(), Input{Skin: "tan", Target: "skin:1,4,5", Load: 4, Grams: of.grams, Balance: of.balance}, nil)
		if err != nil {
			t.Fatal(err)
		}
		if b, err = m.one(1).Batch(); err != nil {
			t.Fatal(err)
		}
		grams := weighed(b)
		for _, p := range m.Blends[0].Parts {
			off := math.Abs(grams[p.Powder] - p.Percent*of.grams/100)
			if off > of.within+1e-9 {
				t.Errorf("%s: %g g on the sheet of %g g, %g g off what is matched", p.Powder, grams[p.Powder], of.grams, off)
			}
		}
	}
}

// A base can be made by itself, for a mending, its weights making all of it.
func TestBaseAlone(t *testing.T) {
	_, b, err := Input{Base: "Silk body oil", Grams: 75}.baseAlone()
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for _, w := range b.Weighings {
		sum += w.Grams
		if w.Phase == batch.PhasePowder {
			t.Errorf("%s is in it", w.Name)
		}
	}
	if math.Abs(sum-75) > 1e-9 {
		t.Errorf("%g g of 75", sum)
	}
}
