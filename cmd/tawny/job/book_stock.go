package job

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"tawny/blend/book"
)

var bookStockJob = &Job{
	Name:  "book stock",
	Args:  "[POWDER]",
	Short: "Say what is left of every lot",
	Long: `Lists every lot with what was bought, what was weighed into batches and
corrections, and what is left. 'tawny book show lot NUMBER' lists each coming and
going; 'tawny book count' puts the book right by the balance.`,
	Example: "  tawny book stock\n  tawny book stock 'pale gold' --json",
	New: func() Task {
		var powder string
		return asking(func(ctx context.Context, env *Env) (Result, error) { return env.Stock(ctx, powder) },
			words(Field{Name: "powder", Words: "a powder", Arg: true, Maybe: true, Lists: "book powder", To: &powder}))
	},
}

// Show lists what is left.
func (v *BookStock) Show(s *Screen) {
	if len(v.Lots) == 0 {
		s.line("No lots in the book; 'tawny book add lot' adds one.")
		return
	}
	s.line("%-22s %-12s %9s %9s %9s", "powder", "lot", "bought g", "used g", "left g")
	for _, l := range v.Lots {
		end := ""
		if l.OtherG != 0 {
			end += fmt.Sprintf("   %+.4g g counted, spilt or given", l.OtherG)
		}
		if l.PlannedG != 0 {
			end += fmt.Sprintf("   %.4g g planned", l.PlannedG)
		}
		switch {
		case l.LeftG < 0:
			end += "   less than nothing: something was not written down"
		case l.Barred != "":
			end += "   " + l.Barred
		case l.ExpiresOn != "":
			end += "   good until " + l.ExpiresOn
		}
		s.line("%-22s %-12s %9.2f %9.2f %9.2f%s", l.PowderName, l.Lot, l.BoughtG, l.UsedG, l.LeftG, end)
	}
	if v.Value > 0 {
		s.line("")
		but := ""
		if v.unpriced > 0 {
			but = ", leaving out " + plural(v.unpriced, "lot") + " without a price"
		}
		s.line("What is left cost %.2f%s.", v.Value, but)
	}
	if len(v.Totals) == len(v.Lots) {
		return
	}
	s.line("")
	for _, t := range v.Totals {
		s.line("%-22s %.2f g left in %s", t.Name, t.LeftG, plural(t.Lots, "lot"))
	}
}

var bookCountJob = &Job{
	Name:  "book count",
	Args:  "LOT GRAMS",
	Short: "Write down what the balance shows is left of a lot",
	Long: `Writes the grams left of a lot as counted. The difference from what the book
thought is kept as a movement of its own, so that nothing before is changed.`,
	Example: "  tawny book count G-0117 43.2\n  tawny book count G-0117 0 --note 'the tin fell'",
	New: func() Task {
		var lot, powder, note string
		var left float64
		var sure bool
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			v := &BookCounted{}
			return v, env.Book.changeLot(ctx, lot, powder, &v.Lot, func(b *book.Book, id int64) (err error) {
				if !sure {
					if err := countSlip(v.Lot, left); err != nil {
						return err
					}
				}
				v.DifferenceG, err = b.CountStock(ctx, id, left, note)
				return err
			})
		},
			lotArg(&lot), words(Field{Name: "left", Words: "the grams left are accepted, such as 43.2", Unit: "g", High: 1e7, Arg: true, To: &left}),
			Group{Title: "Count", Fields: []Field{
				{Name: "powder", Words: "the lot's powder, where two powders have the number", Lists: "powder", To: &powder},
				noteField(&note),
				{Name: "yes", Words: "write more than ever came of it", To: &sure},
			}})
	},
}

// Show says how the count differs.
func (v *BookCounted) Show(s *Screen) {
	words := "as the book thought"
	if v.DifferenceG > 0 {
		words = fmt.Sprintf("%.4g g more than the book thought", v.DifferenceG)
	} else if v.DifferenceG < 0 {
		words = fmt.Sprintf("%.4g g less than the book thought", -v.DifferenceG)
	}
	s.line("%s, lot %s: %.6g g left, %s.", v.Lot.PowderName, v.Lot.Lot, v.Lot.LeftG, words)
}

func lotArg(to *string) Group {
	return words(Field{Name: "lot", Words: "the number on the bag is accepted", Arg: true, Lists: "lot", To: to})
}

var bookMoveJob = &Job{
	Name:  "book move",
	Args:  "LOT GRAMS",
	Short: "Write down grams of a lot spilt, given away, returned or bought again",
	Long: `Writes grams of a lot that came or went other than by being weighed into a batch.
--why says which: spilt, given and returned take them off, bought adds them.`,
	Example: "  tawny book move G-0117 2.5 --why spilt --note 'on the floor'\n  tawny book move G-0117 50 --why bought",
	New: func() Task {
		var lot, powder string
		var sure bool
		m := &book.Movement{}
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			if m.Kind == "" {
				return nil, faultf("why", "is missing; %s is accepted", orList(moveKinds))
			}
			if m.Kind != "bought" {
				m.Grams = -m.Grams // it goes out
			}
			v := &Moved{}
			return v, env.Book.changeLot(ctx, lot, powder, &v.Lot, func(b *book.Book, id int64) (err error) {
				if !sure {
					if err := outSlip(v.Lot, -m.Grams, v.Lot.LeftG); err != nil {
						return err
					}
				}
				m.LotID = id
				v.ID, err = book.Add(ctx, b, *m)
				return err
			})
		}, lotArg(&lot), words(Field{Name: "grams", Words: "grams above 0 are accepted, such as 2.5", Unit: "g", High: 1e6, Above: true, Arg: true, To: &m.Grams}),
			Group{Title: "Movement", Fields: []Field{
				{Name: "why", Words: orList(moveKinds), Choices: moveKinds, To: &m.Kind},
				{Name: "on", Words: "the day (default today)", To: &m.MovedOn},
				{Name: "powder", Words: "the lot's powder, where two powders have the number", Lists: "powder", To: &powder},
				noteField(&m.Note),
				{Name: "yes", Words: "write more than is left of it", To: &sure},
			}})
	},
}

// moveKinds are the ways a lot comes and goes beside being weighed.
var moveKinds = []string{"spilt", "given", "returned", "bought"}

// Show says what is left.
func (v *Moved) Show(s *Screen) {
	s.line("%s, lot %s: %.6g g left.", v.Lot.PowderName, v.Lot.Lot, v.Lot.LeftG)
}

var bookUsesJob = &Job{
	Name:  "book uses",
	Args:  "LOT",
	Short: "Find what a lot went into, for a recall",
	Long: `Finds every batch, correction and planned blend that a lot went into, powders and
ingredients of the base alike, and whom each was made for; of a
batch's code it is that batch. Recall what was sold or given away by your local rules.`,
	Example: "  tawny book uses G-0117\n  tawny book uses LOT-7 --json",
	New: func() Task {
		var lot string
		return asking(func(ctx context.Context, env *Env) (Result, error) {
			v := &LotUses{Lot: lot, Clients: []string{}}
			return v, env.Book.read(ctx, func(b *book.Book) error { return v.find(ctx, b) })
		}, lotArg(&lot))
	},
}

// Show lists what a lot went into.
func (v *LotUses) Show(s *Screen) {
	for _, b := range v.Bags {
		from := ""
		if b.Supplier != "" {
			from = ", from " + b.Supplier
		}
		s.line("Lot %s is %s%s: %.2f g bought, %.2f g left.", b.Lot, b.PowderName, from, b.BoughtG, b.LeftG)
	}
	if len(v.Uses) == 0 {
		s.line("Nothing in the book was made of it.")
		return
	}
	s.line("")
	for _, u := range v.Uses {
		whom := ""
		if u.Client != "" {
			whom = ", for " + u.Client
		}
		s.line("  %s%s", useWords(u), whom)
	}
	if len(v.Clients) > 0 {
		s.line("")
		s.fold("", "Made for "+strings.Join(v.Clients, ", ")+".")
	}
}

// BookStock is what is left of every lot.
type BookStock struct {
	Lots   []LotLeft      `json:"lots"`
	Totals []PowderInHand `json:"totals"`          // by powder
	Value  float64        `json:"value,omitempty"` // of what is left, as far as prices were written, in the maker's currency
	Today  string         `json:"today"`

	unpriced int // lots with some left that Value is without
}

// LotLeft is what is left of a lot.
type LotLeft struct {
	book.LotStock
	Barred string `json:"notFor,omitempty"` // why it is not to be used today
}

// PowderInHand is what is left of a powder over its lots.
type PowderInHand struct {
	Name  string  `json:"name"`
	LeftG float64 `json:"leftG"`
	Lots  int     `json:"lots"` // with anything left
}

// Stock lists what is left, of all powders or of one.
func (e *Env) Stock(ctx context.Context, powder string) (*BookStock, error) {
	v := &BookStock{Lots: []LotLeft{}, Today: e.today()}
	return v, e.Book.read(ctx, func(b *book.Book) error {
		only := int64(0)
		if powder != "" {
			p, err := findPowder(ctx, b, powder)
			if err != nil {
				return err
			}
			only = p.ID
		}
		lots, err := b.Stock(ctx)
		for _, l := range lots { // by powder
			if only != 0 && l.PowderID != only {
				continue
			}
			v.Lots = append(v.Lots, LotLeft{l, l.NotFor(v.Today)})
			if n := len(v.Totals); n == 0 || v.Totals[n-1].Name != l.PowderName {
				v.Totals = append(v.Totals, PowderInHand{Name: l.PowderName})
			}
			t := &v.Totals[len(v.Totals)-1]
			t.LeftG += l.LeftG
			if l.PricePerG != nil {
				v.Value += l.LeftG * *l.PricePerG
			}
			if l.LeftG > 0 {
				t.Lots++
				if l.PricePerG == nil {
					v.unpriced++
				}
			}
		}
		return err
	})
}

// BookCounted is a lot counted.
type BookCounted struct {
	Lot         book.LotStock `json:"lot"`         // as it stands now
	DifferenceG float64       `json:"differenceG"` // counted less what the book thought
}

// changeLot changes the stock of a lot and finds it as it stands then.
func (k Book) changeLot(ctx context.Context, number, powder string, lot *book.LotStock, change func(b *book.Book, id int64) error) error {
	return k.read(ctx, func(b *book.Book) (err error) {
		if *lot, err = findLot(ctx, b, number, powder); err != nil {
			return err
		}
		if err := change(b, lot.LotID); err != nil {
			return err
		}
		*lot, err = findLot(ctx, b, lot.Lot, lot.PowderName)
		return err
	})
}

// Moved is stock that came or went.
type Moved struct {
	ID  int64         `json:"id"`
	Lot book.LotStock `json:"lot"` // as it stands now
}

// LotUses is where a lot went, for a recall.
type LotUses struct {
	Lot     string          `json:"lot"`
	Uses    []book.Use      `json:"uses"`
	Clients []string        `json:"clients"` // to be told
	Bags    []book.LotStock `json:"bags,omitempty"`
}

// find looks for all that the lot went into, powder or ingredient of a base.
func (v *LotUses) find(ctx context.Context, b *book.Book) (err error) {
	if v.Uses, err = b.UsesOfLot(ctx, v.Lot); err != nil {
		return err
	}
	if id, err := b.OfCode(ctx, v.Lot); err != nil {
		return err
	} else if a, err := book.Get[book.Batch](ctx, b, id); err == nil && codeOf(a.Request) != "" { // what bears the code is the batch
		of := book.Use{Kind: "batch", Name: "batch code " + v.Lot, Lot: v.Lot, BatchID: id, Title: a.Name, MadeOn: a.MadeOn, ClientID: a.ClientID, PlannedG: a.PlannedG}
		if a.MadeG != nil {
			of.WeighedG = *a.MadeG
		}
		if c, err := book.Get[book.Client](ctx, b, a.ClientID); err == nil {
			of.Client = c.Name
		}
		v.Uses = append(v.Uses, of)
	}
	for _, u := range v.Uses {
		if u.Client != "" && !slices.Contains(v.Clients, u.Client) {
			v.Clients = append(v.Clients, u.Client)
		}
	}
	stock, err := b.Stock(ctx)
	for _, l := range stock {
		if strings.EqualFold(l.Lot, v.Lot) {
			v.Bags = append(v.Bags, l)
		}
	}
	if err == nil && len(v.Uses) == 0 && len(v.Bags) == 0 {
		err = fmt.Errorf("lot %q is %w, neither bought nor used; look at the number on the bag", v.Lot, book.ErrNotFound)
	}
	return err
}
