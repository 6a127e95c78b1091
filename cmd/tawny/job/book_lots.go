package job

import (
	"context"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"tawny/blend/book"
	"tawny/blend/palette"
)

// PlannedPowder is a powder of a batch in the book, and where it comes from.
type PlannedPowder struct {
	Name    string  `json:"name"`
	Percent float64 `json:"percent"` // % w/w of the product
	Grams   float64 `json:"grams"`
	Lot     string  `json:"lot,omitempty"`
	LeftG   float64 `json:"leftG,omitempty"` // of the lot, before this batch; of a lot the book has
}

// lotsLeft are the lots of the book with anything left, in the order of its stock, by
// the powder's name in lower case. known names the powders the book has any lot of.
func lotsLeft(ctx context.Context, b *book.Book) (by map[string][]book.LotStock, known map[string]bool, err error) {
	stock, err := b.Stock(ctx)
	by, known = map[string][]book.LotStock{}, map[string]bool{}
	for _, l := range stock {
		name := strings.ToLower(l.PowderName)
		known[name] = true
		if l.LeftG > 0 {
			by[name] = append(by[name], l)
		}
	}
	return by, known, err
}

// choose takes the lot with enough left that is good for the shortest time, else the
// one with most; a lot past its day only where there is no other, and one that is held
// back never.
func choose(list []book.LotStock, grams float64, today string) (best book.LotStock, found bool) {
	for _, late := range []bool{false, true} {
		for _, l := range list {
			if l.Held != "" || (l.NotFor(today) != "") != late {
				continue
			}
			if l.LeftG >= grams {
				return l, true
			}
			if !found || l.LeftG > best.LeftG {
				best, found = l, true
			}
		}
		if found {
			return best, true
		}
	}
	return best, false
}

// fullest is the lot with most left of those that may be used: a batch takes a
// powder from one lot.
func fullest(list []book.LotStock, today string) (most book.LotStock) {
	for _, l := range list {
		if l.NotFor(today) == "" && l.LeftG > most.LeftG {
			most = l
		}
	}
	return most
}

// stockFromLots puts a copy of the drawer in place in which there is as much of each
// powder that the book has lots of as the fullest has. Of others there is what the
// drawer says.
func (s *setting) stockFromLots() error {
	ctx, e := context.Background(), s.in.lent()
	return e.Book.ifThere(ctx, func(b *book.Book) error {
		by, known, err := lotsLeft(ctx, b)
		if err != nil {
			return err
		}
		s.doubts.knows(by)
		drawer := &palette.Drawer{Title: s.drawer.Title}
		var counted []string
		for _, g := range s.drawer.Pigments {
			if name := strings.ToLower(g.Name); known[name] {
				fullest := fullest(by[name], e.today())
				g = withLot(g, fullest.Lot)
				g.StockG = fullest.LeftG
				counted = append(counted, g.Name)
			}
			drawer.Pigments = append(drawer.Pigments, g)
		}
		if len(counted) > 0 {
			s.inStock = fmt.Sprintf("What is in stock of %s is taken from the lots in the book, one lot for a batch; of other powders from the drawer.", strings.Join(counted, ", "))
		}
		s.drawer = drawer
		return nil
	})
}

// named looks up the lots a maker names: "pale gold=G-0117".
func namedLots(items []string) (map[string]string, error) {
	lots := map[string]string{}
	for _, item := range items {
		name, lot, ok := strings.Cut(item, "=")
		name, lot = strings.ToLower(strings.TrimSpace(name)), strings.TrimSpace(lot)
		if !ok || name == "" || lot == "" {
			return nil, inputf("%q is not understood; name=lot is accepted, such as 'pale gold=G-0117'", item)
		}
		if lots[name] != "" {
			return nil, inputf("%q has two lots; one is accepted", name)
		}
		lots[name] = lot
	}
	return lots, nil
}

// takeLots says for each powder of a blend's batch which bag it is weighed from: the
// one asked for, the drawer's, or the first in the book with enough left. The
// pigments are copied, since drawers are shared. allowed says that the blend
// allows for the strength of its lots already.
func (r *BlendResult) takeLots(ctx context.Context, b *book.Book, asked map[string]string, allowed bool) (list []PlannedPowder, notes []string, err error) {
	today := r.setting.in.lent().today()
	by, _, err := lotsLeft(ctx, b)
	if err != nil {
		return nil, nil, err
	}
	whole, err := r.Batch()
	if err != nil {
		return nil, nil, err
	}
	r.batch = nil // it names the lots that are found here
	needs := weighed(whole)
	rest := maps.Clone(asked)
	for i, p := range r.Blend.parts {
		name, need := strings.ToLower(p.Pigment.Name), needs[p.Pigment.Name]
		bag := func(lot string) int {
			return slices.IndexFunc(by[name], func(g book.LotStock) bool { return strings.EqualFold(g.Lot, lot) })
		}
		lot := p.Pigment.Lot
		if asked[name] != "" {
			lot = asked[name]
		} else if bag(lot) < 0 {
			// The drawer's lot is used up, or never came into the book.
			if g, ok := choose(by[name], need, today); ok {
				lot = g.Lot
			}
		}
		delete(rest, name)
		plan := PlannedPowder{Name: p.Pigment.Name, Percent: p.Percent, Grams: need, Lot: lot}
		from := bag(lot)
		switch {
		case from >= 0:
			g := &by[name][from]
			plan.LeftG = g.LeftG
			r.setting.in.Bench.runsOut(g.ExpiresOn)
			notes = append(notes, lotNotes(g, by[name], p.Pigment, need, today, allowed)...)
		case asked[name] != "" && len(by[name]) > 0:
			notes = append(notes, fmt.Sprintf("The book has nothing of a lot %s of %s; it has %s.", lot, p.Pigment.Name, lotNumbers(by[name])))
		}
		r.Blend.parts[i].Pigment = withLot(p.Pigment, lot)
		list = append(list, plan)
	}
	for name := range rest {
		return nil, nil, inputf("a lot is named for %q, which is not in the blend", name)
	}
	r.setting.doubts.knows(by)
	if !r.setting.weighOnly { // other lots may be less sure
		r.Blend.Uncertainty, err = r.setting.uncertainty(r.setting.wornAs(r.Blend.parts, r.target))
	}
	return list, notes, err
}

// ofLot are those of a number, capitals aside, all where none is named.
func ofLot(list []book.LotStock, number string) []book.LotStock {
	if number == "" {
		return list
	}
	return slices.DeleteFunc(slices.Clone(list), func(l book.LotStock) bool { return !strings.EqualFold(l.Lot, number) })
}

func lotNumbers(list []book.LotStock) string {
	return listed(list, ", ", func(l book.LotStock) string { return l.Lot })
}

func withLot(g *palette.Pigment, lot string) *palette.Pigment {
	c := *g
	c.Lot = lot
	return &c
}

// lotNotes warns of a lot with too little left, past its day or held back, and, where
// the blend does not allow for it, of one that colours otherwise than the drawer's
// data, on which the match stands. Within 2 % is as good as a fit tells (our own
// choice).
func lotNotes(l *book.LotStock, all []book.LotStock, g *palette.Pigment, grams float64, today string, allowed bool) (notes []string) {
	what := fmt.Sprintf("Lot %s of %s ", l.Lot, g.Name)
	if x := strengthIn(g, l.Lot, l.Strength); !allowed && math.Abs(x-1) > 0.02 {
		notes = append(notes, what+fmt.Sprintf("colours %.3g times as much as the drawer's data for its weight, which this blend does not allow for; 'tawny book again' on its batch does.", x))
	}
	if l.Strength != nil && strengthSlip(*l.Strength) != nil {
		notes = append(notes, what+fmt.Sprintf("is written as colouring %.3g times as much as the drawer's data. Should that be a slip, 'tawny book edit lot %s --strength' puts it right.", *l.Strength, l.Lot))
	}
	if l.LeftG < grams {
		note := fmt.Sprintf("has %.4g g left; this batch needs %.4g g", l.LeftG, grams)
		if other, ok := choose(all, grams, today); ok && other.LeftG >= grams {
			note += fmt.Sprintf(", and lot %s has %.4g g", other.Lot, other.LeftG)
		}
		notes = append(notes, what+note+".")
	}
	if why := l.NotFor(today); why != "" {
		notes = append(notes, what+"is "+why+".")
	}
	return notes
}
