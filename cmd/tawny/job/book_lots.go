package job

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"tawny/blend/batch"
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

// bags are the lots of the book with anything left, in the order of its stock, by the
// powder's name in lower case. A powder that nothing is left of has an empty list.
type bags map[string][]book.LotStock

func bagsOf(stock []book.LotStock) bags {
	by := bags{}
	for _, l := range stock {
		name := fold(l.PowderName)
		if by[name] == nil {
			by[name] = []book.LotStock{}
		}
		if l.LeftG > 0 {
			by[name] = append(by[name], l)
		}
	}
	return by
}

func lotsLeft(ctx context.Context, b *book.Book) (bags, error) {
	stock, err := b.Stock(ctx)
	return bagsOf(stock), err
}

// of are a powder's, nil where the book keeps no lots of it.
func (by bags) of(powder string) []book.LotStock { return by[fold(powder)] }

// choose takes the lot with enough left beside what is planned from it that is good for
// the shortest time, else the one with most; a lot past its day only where there is no other, and one that is held
// back never.
func choose(list []book.LotStock, grams float64, today string) (best book.LotStock, found bool) {
	for _, late := range []bool{false, true} {
		for _, l := range list {
			if l.Held != "" || (l.NotFor(today) != "") != late {
				continue
			}
			if l.LeftG-l.PlannedG >= grams {
				return l, true
			}
			if !found || l.LeftG-l.PlannedG > best.LeftG-best.PlannedG {
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
		by, err := lotsLeft(ctx, b)
		if err != nil {
			return err
		}
		s.doubts.knows(by)
		drawer := &palette.Drawer{Title: s.drawer.Title}
		var counted []string
		for _, g := range s.drawer.Pigments {
			if list := by.of(g.Name); list != nil {
				fullest := fullest(list, e.today())
				g = withLot(g, fullest.Lot)
				g.StockG = fullest.LeftG
				counted = append(counted, g.Name)
			}
			drawer.Pigments = append(drawer.Pigments, g)
		}
		if len(counted) > 0 {
			s.notes = append(s.notes, fmt.Sprintf("What is in stock of %s is taken from the lots in the book, one lot for a batch; of other powders from the drawer.", strings.Join(counted, ", ")))
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

// bag is the lot that a powder of a batch is weighed from: the one asked for, the
// first in the book with enough left, or the drawer's. of is its stock, nil where the
// book has nothing of it.
func bag(g *palette.Pigment, list []book.LotStock, asked string, grams float64, today string) (lot string, of *book.LotStock) {
	lot = orElse(asked, g.Lot)
	if l, ok := choose(list, grams, today); ok && asked == "" {
		lot = l.Lot
	}
	if at := slices.IndexFunc(list, func(l book.LotStock) bool { return strings.EqualFold(l.Lot, lot) }); at >= 0 {
		of = &list[at]
	}
	return lot, of
}

// fromLots is the blend as a batch of it written now is weighed: from the lots asked for,
// else those of the book, with their strengths. A match's other blends stay as they are.
func (r *BlendResult) fromLots(ctx context.Context, b *book.Book, lots map[string]string) (_ *BlendResult, list []PlannedPowder, notes []string, err error) {
	own, setting := *r, *r.setting
	own.setting, own.Blend.parts = &setting, slices.Clone(r.Blend.parts)
	by, err := lotsLeft(ctx, b)
	if err != nil {
		return nil, nil, nil, err
	}
	now, moved, err := own.ofStrength(ctx, by, lots)
	if err != nil {
		return nil, nil, nil, err
	}
	list, notes, err = now.takeLots(by, lots)
	return now, list, append(moved, notes...), err
}

// ofStrength is the blend for the lots it is weighed from, where some colour otherwise
// than the drawer's data: of one that was stated their shares are put right, and one that
// was matched is matched from the same powders anew. lots are those asked for, and come
// to name each that was reckoned with.
func (r *BlendResult) ofStrength(ctx context.Context, by bags, lots map[string]string) (_ *BlendResult, notes []string, err error) {
	s := r.setting
	whole, err := r.Batch()
	if err != nil {
		return nil, nil, err
	}
	needs := weighed(whole)
	drawer := &palette.Drawer{Title: s.drawer.Title, Pigments: slices.Clone(s.drawer.Pigments)}
	parts, only := slices.Clone(r.Blend.parts), []string{}
	strength := map[int]float64{} // by part
	rest := maps.Clone(lots)
	for i, p := range parts {
		name := fold(p.Pigment.Name)
		only = append(only, p.Pigment.Name)
		delete(rest, name)
		lot, of := bag(p.Pigment, by[name], lots[name], needs[p.Pigment.Name], s.in.lent().today())
		if of == nil {
			continue
		}
		lots[name] = lot
		if x := strengthIn(p.Pigment, lot, of.Strength); x != 1 {
			strength[i] = x
			parts[i].Pigment, parts[i].Percent = withLot(p.Pigment, lot).AtStrength(x), p.Percent/x
			drawer.Pigments[slices.IndexFunc(drawer.Pigments, func(g *palette.Pigment) bool { return g.Name == p.Pigment.Name })] = parts[i].Pigment
		}
	}
	for name := range rest {
		return nil, nil, inputf("a lot is named for %q, which is not in the blend", name)
	}
	if len(strength) == 0 {
		return r, nil, nil
	}
	s.drawer = drawer
	now := r
	if r.Blend.Rank == 0 {
		now, err = s.stated(parts, r.target)
	} else {
		s.in.Only = only
		var m *MatchResult
		if m, err = s.match(ctx, r.target, nil); err == nil {
			now = m.one(1)
		}
	}
	if err != nil {
		return nil, nil, err
	}
	for i, x := range strength {
		was, share := r.Blend.parts[i], 0.0
		for _, p := range now.Blend.parts {
			if p.Pigment == parts[i].Pigment {
				share = p.Percent
			}
		}
		notes = append(notes, fmt.Sprintf("Lot %s of %s colours %.3g times as much as the drawer's data for its weight. Reckoned with that, its share is %.3g %%; by the data it would be %.3g %%.",
			parts[i].Pigment.Lot, was.Pigment.Name, x, share, was.Percent))
	}
	slices.Sort(notes)
	return now, notes, nil
}

// takeLots says for each powder of a blend's batch which lot it is weighed from. The
// pigments are copied, since drawers are shared.
func (r *BlendResult) takeLots(by bags, asked map[string]string) (list []PlannedPowder, notes []string, err error) {
	today, said := r.setting.in.lent().today(), r.setting.in.Bench.LotUntil
	whole, err := r.Batch()
	if err != nil {
		return nil, nil, err
	}
	needs := weighed(whole)
	r.batch = nil // it names the lots that are found here
	for i, p := range r.Blend.parts {
		name, need := fold(p.Pigment.Name), needs[p.Pigment.Name]
		lot, of := bag(p.Pigment, by[name], asked[name], need, today)
		plan := PlannedPowder{Name: p.Pigment.Name, Percent: p.Percent, Grams: need, Lot: lot}
		switch {
		case of != nil:
			plan.LeftG = of.LeftG
			if r.setting.in.Bench.runsOut(of.ExpiresOn) && said != "" {
				notes = append(notes, fmt.Sprintf("Lot %s of %s is good until %s, and not until %s as said: the best-before is by the sooner.", lot, p.Pigment.Name, of.ExpiresOn, said))
			}
			r.setting.in.held = append(r.setting.in.held, notFor(of, today)...)
			notes = append(notes, lotNotes(of, by[name], p.Pigment.Name, need, today)...)
		case asked[name] != "" && len(by[name]) > 0:
			notes = append(notes, fmt.Sprintf("The book has nothing of a lot %s of %s; it has %s.", lot, p.Pigment.Name, lotNumbers(by[name])))
		}
		r.Blend.parts[i].Pigment = withLot(p.Pigment, lot)
		list = append(list, plan)
	}
	r.setting.doubts.knows(by)
	if !r.setting.weighOnly { // other lots may be less sure
		r.Blend.Uncertainty, err = r.setting.uncertainty(r.seen(r.Blend.parts, r.setting.apply, r.setting.tilt))
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

// notFor is the finding of a lot that is not to be used on a day: it is held back or past
// its own.
func notFor(l *book.LotStock, day string) []batch.Finding {
	why := l.NotFor(day)
	if why == "" {
		return nil
	}
	what := "lot " + l.Lot
	return []batch.Finding{{Severity: batch.Stop, About: what, Source: "the book", Text: fmt.Sprintf("%s of %s is %s.", what, l.PowderName, why)}}
}

// lotNotes warns of a lot with too little left and of a strength that looks like a slip.
func lotNotes(l *book.LotStock, all []book.LotStock, powder string, grams float64, today string) (notes []string) {
	what := fmt.Sprintf("Lot %s of %s ", l.Lot, powder)
	if l.Strength != nil && strengthSlip(*l.Strength) != nil {
		notes = append(notes, what+fmt.Sprintf("is written as colouring %.3g times as much as the drawer's data. Should that be a slip, put its strength right in the book.", *l.Strength))
	}
	if first, ok := choose(all, grams, today); ok && first.LotID == l.LotID && len(all) > 1 && l.ExpiresOn != "" {
		notes = append(notes, what+"goes first: it is good only until "+l.ExpiresOn+".")
	}
	if l.LeftG-l.PlannedG < grams {
		note := fmt.Sprintf("has %.4g g left%s; this batch needs %.4g g", l.LeftG, planned(l.PlannedG), grams)
		if other, ok := choose(all, grams, today); ok && other.LeftG-other.PlannedG >= grams {
			note += fmt.Sprintf(", and lot %s has %.4g g%s", other.Lot, other.LeftG, planned(other.PlannedG))
		}
		notes = append(notes, what+note+".")
	}
	return notes
}

// planned says how much of a lot batches not begun are to take.
func planned(grams float64) string {
	if grams == 0 {
		return ""
	}
	return fmt.Sprintf(", of which %.4g g are planned for batches not begun", grams)
}
