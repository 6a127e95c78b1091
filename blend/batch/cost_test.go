package batch

import (
	"math"
	"strings"
	"testing"

	"tawny/blend/palette"
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
	// one kept closed and one emptied into the jars: eight sold
	if c.Sold != 8 || math.Abs(c.Price*0.4*8-c.Total) > 1e-9 || math.Abs(c.PerContainer*10-c.Total) > 1e-9 {
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
		"0.50,kg":          {"x,kg", ":3: price: "},
		"4,kg":             {"4,pint", ":4: per: "},
		"Glycerin":         {"Aqua", ":4: item: "},
		"# currency: demo": {"# money: demo", ":1: money: "},
	} {
		_, err := ReadPrices(strings.NewReader(strings.Replace(demoPrices, old, want[0], 1)), "prices.csv")
		if err == nil || !strings.Contains(err.Error(), "prices.csv"+want[1]) {
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

// A powder without a row is priced by the palette and says so, with "demo"
// where that price is invented; a misspelt row says what it is near to; a row
// of something else is listed alone.
func TestCostTellsWhereFrom(t *testing.T) {
	gold := demoGold()
	gold.Source = palette.Demo
	palette, err := palette.Builtin(1.45)
	if err != nil {
		t.Fatal(err)
	}
	own := *palette.Pigments[1]
	own.PricePerG += 0.01
	b, err := Scale(Request{Base: mustFind(t, "everyday-lotion"), Containers: 10, ContainerML: 100, Parts: []Part{{gold, 4}, {palette.Pigments[0], 1}, {&own, 1}}})
	if err != nil {
		t.Fatal(err)
	}
	pl, err := ReadPrices(strings.NewReader(PricesHeader+"\nAqua,0.5,kg\nGlycerine,4,kg\ncontianer,0.6,each\nlabel,0.1,each\nPeat,9,kg\n"), "prices.csv")
	if err != nil {
		t.Fatal(err)
	}
	if err := b.AddCost(Costing{Prices: pl}); err != nil {
		t.Fatal(err)
	}
	said := map[string]string{}
	for _, f := range b.Cost.Facts() {
		said[f.Name] = f.Value
	}
	if want := "Demo gold (demo), " + palette.Pigments[0].Name + " (demo), " + own.Name; !strings.HasSuffix(said["from the drawer"], want) {
		t.Errorf("drawer: %q", said["from the drawer"])
	}
	if got := said["rows not used"]; got != "Glycerine (is Glycerin meant?), contianer (is container meant?), Peat; the names wanted are those of the weights, container, closure, label, labour and overhead" {
		t.Errorf("unused: %q", got)
	}
}

// Containers, closures, labels and overhead are priced each and labour by the
// hour, in a file and in a list made otherwise.
func TestPriceUnits(t *testing.T) {
	for row, want := range map[string]string{"container,1,kg": "accepted: each", "Label,1,hour": "accepted: each", "closure,1,g": "accepted: each", "overhead,1,kg": "accepted: each", "labour,15,each": "accepted: hour"} {
		if _, err := ReadPrices(strings.NewReader(PricesHeader+"\n"+row+"\n"), "prices.csv"); err == nil || !strings.Contains(err.Error(), "prices.csv:2: per: ") || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", row, err)
		}
	}
	b := sheetBatch(t)
	if err := b.AddCost(Costing{Prices: &Prices{Items: []Price{{"container", 1, PerKG}}}}); err == nil {
		t.Error("a container by the kilogram was priced")
	}
}

// The parts shown sum to the total shown, and none is off by a hundredth.
func TestCentsSum(t *testing.T) {
	for _, parts := range [][]float64{{1.364, 0.214, 0, 0}, {1.355, 0.205, 0, 0.005}, {0, 0, 0, 0}, {1.0 / 3, 1.0 / 3, 1.0 / 3, 0}, {0.29, 0.57, 1.15, 2.3}} {
		shown, total := cents(parts...)
		sum, exact := int64(0), 0.0
		for i, s := range shown {
			sum += s
			exact += parts[i]
			if d := float64(s) - 100*parts[i]; d <= -1 || d >= 1 {
				t.Errorf("%v shows %d", parts[i], s)
			}
		}
		if sum != total || math.Abs(float64(total)-100*exact) > 0.5+1e-6 {
			t.Errorf("%v: shown %v, total %d", parts, shown, total)
		}
	}
}
