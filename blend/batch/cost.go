package batch

import (
	"errors"
	"fmt"
	"math"
	"sync"

	"tawny/blend/palette"
)

// Cost is what a batch costs and what to ask for it.
type Cost struct {
	Currency      string     `json:"currency,omitempty"`
	Lines         []CostLine `json:"lines"`
	Missing       []string   `json:"missing,omitempty"`    // no price known
	FromDrawer    []string   `json:"fromDrawer,omitempty"` // powders without a row, at the drawer's own price; "(demo)" where that is invented
	Unused        []string   `json:"unused,omitempty"`     // rows that price nothing here, with the name a misspelt one is near to
	Powders       float64    `json:"powders"`
	Base          float64    `json:"base"`
	Packing       float64    `json:"packing"` // containers, closures, labels
	Labour        float64    `json:"labour"`  // and overhead
	Total         float64    `json:"total"`
	Sold          int        `json:"sold,omitempty"`          // containers to use or sell, after those kept
	PerContainer  float64    `json:"perContainer,omitempty"`  // of all filled
	MarginPercent float64    `json:"marginPercent,omitempty"` // of the price
	Price         float64    `json:"price,omitempty"`         // of one of those sold, at that margin on the whole batch
	YieldPercent  float64    `json:"yieldPercent,omitempty"`  // of the batch that is in containers at nominal content
}

// CostLine is one priced thing.
type CostLine struct {
	Item     string  `json:"item"`
	Quantity float64 `json:"quantity"`
	Unit     Per     `json:"unit"`
	Each     float64 `json:"each"`
	Cost     float64 `json:"cost"`
}

// Costing is how a batch is priced.
type Costing struct {
	Prices        *Prices
	MarginPercent float64 // of the selling price; under 100
	LabourHours   float64
}

// AddCost prices the batch. What the list lacks comes back in Missing and the
// total says less than the truth; powders fall back on the palette's price. What is
// weighed is priced by weight, or by volume with the product's density.
func (b *Batch) AddCost(how Costing) error {
	if !finite(how.MarginPercent) || how.MarginPercent < 0 || how.MarginPercent >= 100 {
		return fmt.Errorf("the margin is %v %%; accepted: 0 to under 100, of the price", how.MarginPercent)
	}
	if !finite(how.LabourHours) || how.LabourHours < 0 {
		return fmt.Errorf("the labour is %v hours; accepted: 0 or more", how.LabourHours)
	}
	if how.Prices == nil {
		return errors.New("no price list given; accepted: a CSV of item,price,per")
	}
	c := &Cost{Currency: how.Prices.Currency, MarginPercent: how.MarginPercent}
	for _, l := range b.Weighings {
		p := how.Prices.find(l.Name, l.INCI)
		if p == nil && l.pigment != nil && l.pigment.PricePerG > 0 {
			p = &Price{Item: l.Name, Each: l.pigment.PricePerG, Per: PerG}
			name := l.Name
			if demoPrice(l.pigment) {
				name += " (demo)"
			}
			c.FromDrawer = append(c.FromDrawer, name)
		}
		if p == nil {
			c.Missing = append(c.Missing, l.Name)
			continue
		}
		to := &c.Base
		if l.Powder {
			to = &c.Powders
		}
		weighs := map[Per]float64{PerG: 1, PerKG: 1000, PerML: b.DensityGML, PerL: b.DensityGML * 1000}[p.Per] // g
		if weighs == 0 {
			return fmt.Errorf("price of %s is per %s; accepted for what is weighed: g, kg, ml, l", p.Item, p.Per)
		}
		c.add(l.Name, l.Grams/weighs, p, to)
	}
	c.Unused = how.Prices.unused(b)
	n := float64(b.Filling.Filled)
	for _, w := range []struct {
		item   string
		n      float64
		to     *float64
		wanted bool
	}{
		{"container", n, &c.Packing, true},
		{"closure", n, &c.Packing, false},
		{"label", n, &c.Packing, true},
		{"labour", how.LabourHours, &c.Labour, true},
		{"overhead", 1, &c.Labour, false},
	} {
		switch p := how.Prices.find(w.item); {
		case p == nil && w.wanted && w.n > 0:
			c.Missing = append(c.Missing, w.item)
		case p == nil:
		case p.Per != unitOf(w.item):
			return fmt.Errorf("price of %s is per %s; accepted: %s", w.item, p.Per, unitOf(w.item))
		default:
			c.add(w.item, w.n, p, w.to)
		}
	}
	c.Total = c.Powders + c.Base + c.Packing + c.Labour
	if n > 0 {
		c.PerContainer = c.Total / n
		if c.Sold = b.Filling.ToUse(); c.Sold > 0 {
			c.Price = c.Total / float64(c.Sold) / (1 - how.MarginPercent/100)
		}
		c.YieldPercent = 100 * n * b.Filling.ContainerML * b.DensityGML / b.TotalG
	}
	b.Cost = c
	return nil
}

func (c *Cost) add(item string, q float64, p *Price, to *float64) {
	line := CostLine{item, q, p.Per, p.Each, q * p.Each}
	c.Lines = append(c.Lines, line)
	*to += line.Cost
}

// cents are the parts of a total in hundredths such that they sum to it as it
// is shown: each rounded down, the hundredths then missing given where most
// was cut off.
func cents(parts ...float64) (shown []int64, total int64) {
	sum, given := 0.0, int64(0)
	shown = make([]int64, len(parts))
	for i, p := range parts {
		shown[i] = int64(math.Floor(100*p + 1e-9))
		given += shown[i]
		sum += p
	}
	total = int64(math.Round(100 * sum))
	for ; given < total; given++ {
		most := 0
		for i, p := range parts {
			if 100*p-float64(shown[i]) > 100*parts[most]-float64(shown[most]) {
				most = i
			}
		}
		shown[most]++
	}
	return shown, total
}

// demoPrice reports whether a powder's own price is an invented one: that of a
// demo powder, or the built-in palette's, copied into another or not.
func demoPrice(p *palette.Pigment) bool {
	price, known := builtinPrices()[p.Name]
	return p.Source == palette.Demo || (known && price == p.PricePerG)
}

var builtinPrices = sync.OnceValue(func() map[string]float64 {
	m := map[string]float64{}
	p, err := palette.Builtin(1.45) // the index does not touch prices
	if err != nil {
		return m // the build's own fault, caught by the tests of blend
	}
	for _, q := range p.Pigments {
		m[q.Name] = q.PricePerG
	}
	return m
})
