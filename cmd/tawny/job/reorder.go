package job

import (
	"cmp"
	"context"
	"math"
	"slices"
	"strings"

	"tawny/blend/book"
)

var reorderJob = &Job{
	Name:  "reorder",
	Short: "List what is running out for the planned batches",
	Long: `Adds up the powders of every batch in the book that is planned and not yet weighed,
and lists those whose lots will not do, with what is short. They are taken from the
lots in the book, those good for the shortest time first; a lot past its day or held
back counts for nothing, and neither do the grams a drawer has. What the bases take is
added up too; the book keeps no stock of that.`,
	Example: "  tawny reorder\n  tawny reorder --spare 20 --json",
	New: func() Task {
		spare := 0.0
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.Reorder(ctx, spare) },
			Group{Title: "Reorder", Fields: []Field{
				{Name: "spare", Words: "grams of each powder to have left after them (default 0)", Unit: "g", High: 1e6, To: &spare},
			}})
	},
}

// Reorder is what the planned batches take.
type Reorder struct {
	Batches []int64       `json:"batches"` // by number
	Powders []ReorderLine `json:"powders"` // those that run out first
	Base    []ReorderLine `json:"base"`    // ingredients, of which the book keeps no stock
}

// ReorderLine is one thing the planned batches take.
type ReorderLine struct {
	Name   string  `json:"name"`
	NeedG  float64 `json:"needG"`
	LeftG  float64 `json:"leftG"`  // in lots that may be used
	ShortG float64 `json:"shortG"` // to buy

	Lots []ReorderLot `json:"lots,omitempty"` // of the book, in the order they are taken from

	counted bool // the book has, or had, lots of it
}

// ReorderLot is what the planned batches take of a lot.
type ReorderLot struct {
	Lot    string  `json:"lot"`
	LeftG  float64 `json:"leftG"`
	TakesG float64 `json:"takesG"`
	NotFor string  `json:"notFor,omitempty"` // why it is not counted
}

// take takes what is needed from the lots there are.
func (l *ReorderLine) take(lots []book.LotStock, spare float64, today string) {
	rest := l.NeedG
	for _, g := range lots {
		lot := ReorderLot{Lot: g.Lot, LeftG: g.LeftG, NotFor: g.NotFor(today)}
		if lot.NotFor == "" {
			lot.TakesG = math.Min(rest, g.LeftG)
			rest -= lot.TakesG
			l.LeftG += g.LeftG
		}
		l.Lots = append(l.Lots, lot)
	}
	l.ShortG = math.Max(0, l.NeedG+spare-l.LeftG)
}

// Show lists what is to be bought, then what will do.
func (r *Reorder) Show(s *Screen) {
	if len(r.Batches) == 0 {
		s.line("No batch is planned; 'tawny book save' plans one.")
		return
	}
	s.line("For %s:", plural(len(r.Batches), "planned batch"))
	for _, l := range r.Powders {
		if !l.counted {
			s.line("  %-38s needs %10s   look in the jar: the book has no lot of it", l.Name, grams(l.NeedG, 0.01)+" g")
			continue
		}
		end := either(l.ShortG > 0, "BUY "+grams(l.ShortG, 0.01)+" g", "enough")
		s.line("  %-38s needs %10s   %10s left   %s", l.Name, grams(l.NeedG, 0.01)+" g", grams(l.LeftG, 0.01)+" g", end)
		for _, lot := range l.Lots {
			from := orElse(around("", lot.NotFor, "; not counted: "), "takes "+grams(lot.TakesG, 0.01)+" g of ")
			s.line("    lot %s: %s%s g", lot.Lot, from, grams(lot.LeftG, 0.01))
		}
	}
	for _, l := range r.Base {
		s.line("  %-38s needs %10s   look in the cupboard", l.Name, grams(l.NeedG, 0.01)+" g")
	}
}

// Reorder adds up what the planned batches take and what there is of it.
func (e *Env) Reorder(ctx context.Context, spare float64) (*Reorder, error) {
	v := &Reorder{Batches: []int64{}, Powders: []ReorderLine{}, Base: []ReorderLine{}}
	return v, e.Book.read(ctx, func(b *book.Book) error {
		list, err := b.List(ctx, book.Batches)
		if err != nil {
			return err
		}
		for _, entry := range list {
			if entry.On != "" { // a day: made
				continue
			}
			batch, err := book.Get[book.Batch](ctx, b, entry.ID)
			if err != nil {
				return err
			}
			v.Batches = append(v.Batches, batch.ID)
			for _, w := range batch.Weights {
				to := &v.Base
				if w.Role == "powder" {
					to = &v.Powders
				}
				i := slices.IndexFunc(*to, func(l ReorderLine) bool { return strings.EqualFold(l.Name, w.Name) })
				if i < 0 {
					i, *to = len(*to), append(*to, ReorderLine{Name: w.Name})
				}
				(*to)[i].NeedG += w.PlannedG
			}
		}
		have, err := lotsLeft(ctx, b)
		if err != nil {
			return err
		}
		for i := range v.Powders {
			list := have.of(v.Powders[i].Name)
			v.Powders[i].counted = list != nil
			v.Powders[i].take(list, spare, e.today())
		}
		slices.SortStableFunc(v.Powders, func(x, y ReorderLine) int { return cmp.Compare(y.ShortG, x.ShortG) })
		return nil
	})
}
