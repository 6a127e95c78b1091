package job

import (
	"context"
	"fmt"
	"math"
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

// bag is a lot of the book with what is known of it.
type bag struct {
	book.LotStock
	lot   book.Lot
	today string
}

// bags are the lots of the book with anything left, oldest first, by the
// powder's name in lower case. known names the powders the book has any lot of.
func bags(ctx context.Context, b *book.Book, today string) (by map[string][]bag, known map[string]bool, err error) {
	stock, err := b.Stock(ctx)
	if err != nil {
		return nil, nil, err
	}
	lots, err := b.Lots(ctx, 0)
	if err != nil {
		return nil, nil, err
	}
	left := map[int64]book.LotStock{}
	for _, l := range stock {
		left[l.LotID] = l
	}
	by, known = map[string][]bag{}, map[string]bool{}
	for _, l := range lots {
		name := strings.ToLower(left[l.ID].PowderName)
		known[name] = true
		if left[l.ID].LeftG > 0 {
			by[name] = append(by[name], bag{left[l.ID], l, today})
		}
	}
	return by, known, nil
}

// expired reports whether a lot is past its day.
func (g bag) expired() bool { return g.lot.ExpiresOn != "" && g.lot.ExpiresOn < g.today }

// choose takes the oldest lot with enough left, else the one with most; a lot
// past its day only where there is no other.
func choose(list []bag, grams float64) (best bag, found bool) {
	for _, late := range []bool{false, true} {
		for _, g := range list {
			if g.expired() != late {
				continue
			}
			if g.LeftG >= grams {
				return g, true
			}
			if !found || g.LeftG > best.LeftG {
				best, found = g, true
			}
		}
		if found {
			return best, true
		}
	}
	return best, false
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

// takeLots says for each powder of a blend which bag it is weighed from: the
// one asked for, the drawer's, or the oldest in the book with enough left. The
// pigments are copied, since drawers are shared. allowed says that the blend
// allows for the strength of its lots already.
func (r *BlendResult) takeLots(ctx context.Context, b *book.Book, asked map[string]string, allowed bool) (notes []string, err error) {
	by, _, err := bags(ctx, b, r.setting.in.lent().today())
	if err != nil {
		return nil, err
	}
	whole, err := r.Batch()
	if err != nil {
		return nil, err
	}
	r.batch = nil // it names the lots that are found here
	needs := weighed(whole)
	rest := map[string]string{}
	for name, lot := range asked {
		rest[name] = lot
	}
	for i, p := range r.Blend.parts {
		name := strings.ToLower(p.Pigment.Name)
		lot := p.Pigment.Lot
		if asked[name] != "" {
			lot = asked[name]
			if n := unknownLot(by[name], p.Pigment.Name, lot); n != "" {
				notes = append(notes, n)
			}
		} else if lot == "" {
			if g, ok := choose(by[name], needs[p.Pigment.Name]); ok {
				lot = g.Lot
			}
		}
		delete(rest, name)
		for _, g := range by[name] {
			if strings.EqualFold(g.Lot, lot) {
				r.setting.in.Bench.runsOut(g.lot.ExpiresOn)
			}
		}
		if !allowed {
			notes = append(notes, strengthNotes(by[name], p.Pigment, lot)...)
		}
		r.Blend.parts[i].Pigment = withLot(p.Pigment, lot)
		notes = append(notes, lotNotes(by[name], p.Pigment.Name, lot, needs[p.Pigment.Name])...)
	}
	for name := range rest {
		return nil, inputf("a lot is named for %q, which is not in the blend", name)
	}
	r.setting.doubts.knows(by)
	if !r.setting.weighOnly { // other lots may be less sure
		r.Blend.Uncertainty, err = r.setting.uncertainty(r.setting.wornAs(r.Blend.parts, r.target))
	}
	return notes, err
}

// unknownLot tells of a lot the book has none of, or nothing left of.
func unknownLot(list []bag, powder, lot string) string {
	var left []string
	for _, g := range list {
		if strings.EqualFold(g.Lot, lot) {
			return ""
		}
		left = append(left, g.Lot)
	}
	if len(left) == 0 {
		return ""
	}
	return fmt.Sprintf("The book has nothing of a lot %s of %s; it has %s.", lot, powder, strings.Join(left, ", "))
}

func withLot(g *palette.Pigment, lot string) *palette.Pigment {
	c := *g
	c.Lot = lot
	return &c
}

// lotNotes warns of a lot with too little left or past its day.
func lotNotes(list []bag, powder, lot string, grams float64) (notes []string) {
	for _, g := range list {
		if !strings.EqualFold(g.Lot, lot) {
			continue
		}
		if g.LeftG < grams {
			notes = append(notes, fmt.Sprintf("Lot %s of %s has %.4g g left; this batch needs %.4g g.", lot, powder, g.LeftG, grams))
		}
		if g.expired() {
			notes = append(notes, fmt.Sprintf("Lot %s of %s is past its day, %s.", lot, powder, g.lot.ExpiresOn))
		}
	}
	return notes
}

// strengthNotes says where a lot colours otherwise than the drawer's data, on
// which the match stands. Within 2 % is as good as a fit tells (our own choice).
func strengthNotes(list []bag, g *palette.Pigment, lot string) (notes []string) {
	for _, b := range list {
		if !strings.EqualFold(b.Lot, lot) {
			continue
		}
		if x := strengthIn(g, b.lot); math.Abs(x-1) > 0.02 {
			notes = append(notes, fmt.Sprintf("Lot %s of %s colours %.3g times as much as the drawer's data for its weight, which this blend does not allow for; 'tawny book again' on its batch does.", lot, g.Name, x))
		}
	}
	return notes
}

// planned lists the powders of a result's batch with their lots.
func (r *BlendResult) planned(ctx context.Context, b *book.Book) ([]PlannedPowder, error) {
	stock, err := b.Stock(ctx)
	if err != nil {
		return nil, err
	}
	whole, err := r.Batch()
	if err != nil {
		return nil, err
	}
	needs := weighed(whole)
	var list []PlannedPowder
	for _, p := range r.Blend.parts {
		v := PlannedPowder{Name: p.Pigment.Name, Percent: p.Percent, Grams: needs[p.Pigment.Name], Lot: p.Pigment.Lot}
		for _, l := range stock {
			if strings.EqualFold(l.PowderName, v.Name) && strings.EqualFold(l.Lot, v.Lot) {
				v.LeftG = l.LeftG
			}
		}
		list = append(list, v)
	}
	return list, nil
}
