package job

import (
	"context"
	"fmt"
	"strings"

	"tawny/blend/book"
)

// BookStock is what is left of every lot.
type BookStock struct {
	Lots   []StockLine    `json:"lots"`
	Totals []PowderInHand `json:"totals"` // by powder
	Today  string         `json:"today"`
}

// StockLine is a lot with its days.
type StockLine struct {
	book.LotStock
	ReceivedOn string `json:"received_on,omitempty"`
	ExpiresOn  string `json:"expires_on,omitempty"`
	Expired    bool   `json:"expired,omitempty"`
}

// PowderInHand is what is left of a powder over its lots.
type PowderInHand struct {
	Name  string  `json:"name"`
	LeftG float64 `json:"leftG"`
	Lots  int     `json:"lots"` // with anything left
}

// Stock lists what is left, of all powders or of one.
func (k Book) Stock(ctx context.Context, powder string) (*BookStock, error) {
	v := &BookStock{Lots: []StockLine{}, Today: k.today()}
	return v, k.read(ctx, func(b *book.Book) error {
		only := int64(0)
		if powder != "" {
			p, err := findPowder(ctx, b, powder)
			if err != nil {
				return err
			}
			only = p.ID
		}
		lots, err := b.Stock(ctx)
		if err != nil {
			return err
		}
		for _, l := range lots {
			if only != 0 && l.PowderID != only {
				continue
			}
			full, err := b.Lot(ctx, l.LotID)
			if err != nil {
				return err
			}
			line := StockLine{LotStock: l, ReceivedOn: full.ReceivedOn, ExpiresOn: full.ExpiresOn}
			line.Expired = bag{lot: full, today: v.Today}.expired()
			v.Lots = append(v.Lots, line)
			v.total(l)
		}
		return nil
	})
}

// total adds a lot to its powder's; lots come by powder.
func (v *BookStock) total(l book.LotStock) {
	if n := len(v.Totals); n == 0 || v.Totals[n-1].Name != l.PowderName {
		v.Totals = append(v.Totals, PowderInHand{Name: l.PowderName})
	}
	t := &v.Totals[len(v.Totals)-1]
	t.LeftG += l.LeftG
	if l.LeftG > 0 {
		t.Lots++
	}
}

// BookCounted is a lot counted.
type BookCounted struct {
	Lot         book.LotStock `json:"lot"`         // as it stands now
	DifferenceG float64       `json:"differenceG"` // counted less what the book thought
}

// Count writes what the balance shows is left of a lot.
func (k Book) Count(ctx context.Context, number, powder string, leftG float64, note string) (v *BookCounted, err error) {
	err = k.read(ctx, func(b *book.Book) error {
		l, err := findLot(ctx, b, number, powder)
		if err != nil {
			return err
		}
		v = &BookCounted{}
		if v.DifferenceG, err = b.CountStock(ctx, l.LotID, leftG, note); err != nil {
			return err
		}
		v.Lot, err = findLot(ctx, b, l.Lot, l.PowderName)
		return err
	})
	return v, err
}

// Moved is stock that came or went.
type Moved struct {
	ID  int64         `json:"id"`
	Lot book.LotStock `json:"lot"` // as it stands now
}

// Move writes grams of a lot bought, spilt, given away or returned; the kind says whether they come or go.
func (k Book) Move(ctx context.Context, number, powder string, m book.Movement) (v *Moved, err error) {
	if m.Kind != "bought" {
		m.Grams = -m.Grams
	}
	err = k.read(ctx, func(b *book.Book) error {
		l, err := findLot(ctx, b, number, powder)
		if err != nil {
			return err
		}
		m.LotID, v = l.LotID, &Moved{}
		if v.ID, err = b.AddMovement(ctx, m); err != nil {
			return err
		}
		v.Lot, err = findLot(ctx, b, l.Lot, l.PowderName)
		return err
	})
	return v, err
}

// LotUses is where a lot went, for a recall.
type LotUses struct {
	Lot     string        `json:"lot"`
	Uses    []book.Use    `json:"uses"`
	Clients []string      `json:"clients"` // to be told
	Bags    []LotInTheBag `json:"bags,omitempty"`
}

// LotInTheBag is what the book has of a lot itself.
type LotInTheBag struct {
	book.LotStock
	Supplier string `json:"supplier,omitempty"`
}

// Uses finds all that a lot went into, powder or ingredient of a base.
func (k Book) Uses(ctx context.Context, lot string) (*LotUses, error) {
	v := &LotUses{Lot: lot, Uses: []book.Use{}, Clients: []string{}}
	return v, k.read(ctx, func(b *book.Book) error {
		uses, err := b.UsesOfLot(ctx, lot)
		if err != nil {
			return err
		}
		v.Uses = append(v.Uses, uses...)
		told := map[string]bool{}
		for _, u := range uses {
			if u.Client != "" && !told[u.Client] {
				told[u.Client] = true
				v.Clients = append(v.Clients, u.Client)
			}
		}
		stock, err := b.Stock(ctx)
		if err != nil {
			return err
		}
		for _, l := range stock {
			if !strings.EqualFold(l.Lot, lot) {
				continue
			}
			full, err := b.Lot(ctx, l.LotID)
			if err != nil {
				return err
			}
			v.Bags = append(v.Bags, LotInTheBag{l, full.Supplier})
		}
		if len(v.Uses) == 0 && len(v.Bags) == 0 {
			return fmt.Errorf("lot %q is %w, neither bought nor used; look at the number on the bag", lot, book.ErrNotFound)
		}
		return nil
	})
}
