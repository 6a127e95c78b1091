package batch

import (
	"math"
	"strings"
	"testing"
)

const demoPrices = `# currency: demo
item,price,per
Aqua,0.50,kg
Glycerin,4,kg
container,0.60,each
closure,0.25,each
label,0.10,each
labour,15,hour
overhead,3,each
`

// The parts sum to the total; a margin of 60 % of the price makes the price
// cost/0.4; what has no price is named.
func TestCost(t *testing.T) {
	b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Containers: 10, ContainerML: 100, Parts: []Part{{demoGold(), 4}}})
	if err != nil {
		t.Fatal(err)
	}
	pl, err := ReadPrices(strings.NewReader(demoPrices), "prices.csv")
	if err != nil {
		t.Fatal(err)
	}
	if err := b.AddCost(Costing{Prices: pl, MarginPercent: 60, LabourHours: 2}); err != nil {
		t.Fatal(err)
	}
	c := b.Cost
	sum, powder, water := 0.0, 0.0, 0.0
	for _, l := range c.Lines {
		sum += l.Cost
		switch l.Item {
		case "Demo gold":
			powder = l.Cost
		case "Purified water":
			water = l.Cost
		}
	}
	for _, l := range b.Weighings {
		if l.Powder && math.Abs(powder-l.Grams*0.15) > 1e-9 {
			t.Errorf("powder costs %v", powder)
		}
		if l.Name == "Purified water" && math.Abs(water-l.Grams*0.0005) > 1e-9 {
			t.Errorf("water costs %v", water)
		}
	}
	if math.Abs(sum-c.Total) > 1e-9 || c.Packing != 10*(0.60+0.25+0.10) || c.Labour != 33 {
		t.Errorf("%+v", c)
	}
	if math.Abs(c.Price*0.4-c.PerContainer) > 1e-9 || math.Abs(c.PerContainer*10-c.Total) > 1e-9 {
		t.Errorf("%+v", c)
	}
	if c.YieldPercent <= 90 || c.YieldPercent > 100 {
		t.Errorf("yield %v", c.YieldPercent)
	}
	if len(c.Missing) == 0 || strings.Contains(strings.Join(c.Missing, " "), "water") {
		t.Errorf("missing %v", c.Missing)
	}
	for _, bad := range []Costing{{nil, 0, 0}, {pl, 100, 0}, {pl, math.NaN(), 0}, {pl, 0, -1}} {
		if err := b.AddCost(bad); err == nil {
			t.Errorf("%+v taken", bad)
		}
	}
}

func TestReadPricesFaults(t *testing.T) {
	for old, want := range map[string][2]string{
		"0.50,kg":          {"x,kg", "line 3 column 2 (price)"},
		"4,kg":             {"4,pint", "line 4 column 3 (per)"},
		"Glycerin":         {"Aqua", "line 4 column 1 (item)"},
		"# currency: demo": {"# money: demo", "line 1 (money)"},
	} {
		_, err := ReadPrices(strings.NewReader(strings.Replace(demoPrices, old, want[0], 1)), "prices.csv")
		if err == nil || !strings.Contains(err.Error(), "prices.csv "+want[1]) {
			t.Errorf("%s: %v", old, err)
		}
	}
}

func FuzzReadPrices(f *testing.F) {
	f.Add(demoPrices)
	f.Fuzz(func(t *testing.T, s string) {
		p, err := ReadPrices(strings.NewReader(s), "fuzz.csv")
		if err != nil {
			return
		}
		b, err := Scale(Request{Base: mustFind(t, "silk-body-oil"), Containers: 2, ContainerML: 30})
		if err != nil {
			t.Fatal(err)
		}
		if err := b.AddCost(Costing{Prices: p}); err == nil && !finite(b.Cost.Total) {
			t.Errorf("total %v", b.Cost.Total)
		}
	})
}
