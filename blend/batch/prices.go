package batch

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"tawny/colour"
	"tawny/colour/table"
)

// PricesHeader is the header of a price list, as its file has it. An item is an
// ingredient or powder by its name in the base or palette or by its INCI name,
// priced per g, kg, ml or l; or container, closure, label or overhead, per
// each; or labour, per hour. The price is in the currency of a line before it,
// "# currency: EUR". Powders without a row take the palette's own price.
const PricesHeader = "item,price,per"

// Prices is a maker's price list. Items are named as in the base, by INCI, or
// by the words container, closure, label, labour and overhead.
type Prices struct {
	Currency string
	Items    []Price
}

// Price is one row.
type Price struct {
	Item string
	Each float64 // in the list's currency
	Per  Per
}

// Per is the unit a price is for.
type Per string

// The units of a price list.
const (
	PerG    Per = "g"
	PerKG   Per = "kg"
	PerML   Per = "ml"
	PerL    Per = "l"
	PerEach Per = "each"
	PerHour Per = "hour"
)

// Pers lists the accepted units.
var Pers = []Per{PerG, PerKG, PerML, PerL, PerEach, PerHour}

// ReadPrices reads a price list from a CSV file; name is used in errors.
func ReadPrices(r io.Reader, name string) (*Prices, error) {
	f, err := table.Read(name, r, table.Kind{Header: strings.Split(PricesHeader, ",")})
	if err != nil {
		return nil, err
	}
	p := &Prices{}
	for _, k := range f.Keys {
		switch k.Name {
		case "currency":
			p.Currency = k.Value
		case "title", "note", "source":
		default:
			return nil, f.KeyFault(k, "unknown key", "title, currency, note, source")
		}
	}
	for _, r := range f.Rows {
		it := Price{Item: r.Fields[0], Per: Per(strings.ToLower(r.Fields[2]))}
		if it.Item == "" {
			return nil, f.Fault(r, 0, "the item is missing", "an ingredient, or container, closure, label, labour or overhead")
		}
		if it.Each, err = table.Number(r.Fields[1], 0, 1e6); err != nil {
			return nil, f.Fault(r, 1, err.Error(), "a price from 0 to 1000000")
		}
		if !slices.Contains(Pers, it.Per) {
			return nil, f.Fault(r, 2, fmt.Sprintf("no unit %q", r.Fields[2]), list(Pers))
		}
		if want := unitOf(it.Item); want != "" && it.Per != want {
			return nil, f.Fault(r, 2, fmt.Sprintf("%s is priced per %s", it.Item, it.Per), string(want))
		}
		if p.find(it.Item) != nil {
			return nil, f.Fault(r, 0, fmt.Sprintf("%q is in the list already", it.Item), "each item once")
		}
		p.Items = append(p.Items, it)
	}
	return p, nil
}

func (p *Prices) find(names ...string) *Price {
	for _, n := range names {
		for i := range p.Items {
			if strings.EqualFold(p.Items[i].Item, n) {
				return &p.Items[i]
			}
		}
	}
	return nil
}

// unitOf is the only unit an item that is not weighed may have; "" for what
// is weighed.
func unitOf(item string) Per {
	switch strings.ToLower(item) {
	case "labour":
		return PerHour
	case "overhead", "container", "closure", "label":
		return PerEach
	}
	return ""
}

// unused lists the rows that price nothing in this batch. A row whose name is
// within a third of its letters of a name without a row is taken for a slip
// and says which.
func (p *Prices) unused(b *Batch) []string {
	var known, unpriced []string
	see := func(names ...string) {
		known = append(known, names...)
		if p.find(names...) == nil {
			unpriced = append(unpriced, names...)
		}
	}
	for _, item := range []string{"labour", "overhead", "container", "closure", "label"} {
		see(item)
	}
	for _, l := range b.Weighings {
		see(l.Name, l.INCI)
	}
	var out []string
	for _, it := range p.Items {
		if slices.ContainsFunc(known, func(n string) bool { return strings.EqualFold(n, it.Item) }) {
			continue
		}
		text := it.Item
		if n := colour.NearBy(it.Item, unpriced); n != "" {
			text += fmt.Sprintf(" (is %s meant?)", n)
		}
		out = append(out, text)
	}
	return out
}
