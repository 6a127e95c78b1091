package book

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
)

// Again is what is needed to make a batch once more: what was asked then, and
// for each powder the lot used then beside those in stock today, to match
// against.
type Again struct {
	Batch   Batch           `json:"batch"`
	Request json.RawMessage `json:"request,omitempty"` // the batch's, or else its blend's
	Powders []AgainPowder   `json:"powders"`
	Says    string          `json:"says,omitempty"` // why there is no request
}

// AgainPowder is one powder of a batch, then and now.
type AgainPowder struct {
	Name     string     `json:"name"`
	PowderID int64      `json:"powder_id,omitempty"`
	Then     Weight     `json:"then"`
	NeedsG   float64    `json:"needs_g"`  // weighed then, or planned where it never was
	Now      []LotStock `json:"now"`      // lots with anything left, oldest first
	SameLot  bool       `json:"same_lot"` // the lot used then has enough left
	InStock  bool       `json:"in_stock"` // some one lot has enough left
	TotalG   float64    `json:"total_g"`  // left over all its lots
	RetireOn string     `json:"retired_on,omitempty"`
}

// MakeAgain returns what is needed to make the batch once more. The caller
// matches the request again with today's lots.
func (b *Book) MakeAgain(ctx context.Context, batchID int64) (again Again, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		if again.Batch, err = oneByID[Batch](ctx, tx, "batch", batchID); err != nil {
			return err
		}
		again.Request = again.Batch.Request
		if again.Request == nil && again.Batch.BlendID != 0 {
			blend, err := oneByID[Blend](ctx, tx, "blend", again.Batch.BlendID)
			if err != nil {
				return err
			}
			again.Request = blend.Request
		}
		if again.Request == nil {
			again.Says = fmt.Sprintf("what was asked for batch %d is not in the book: it was never written, "+
				"or its client was forgotten or left out of an export. Its weights are here", batchID)
		}
		for _, w := range again.Batch.Weights {
			if w.Role != "powder" {
				continue
			}
			p, err := powderAgain(ctx, tx, w)
			if err != nil {
				return err
			}
			again.Powders = append(again.Powders, p)
		}
		return nil
	})
	return again, err
}

func powderAgain(ctx context.Context, tx *sql.Tx, w Weight) (AgainPowder, error) {
	p := AgainPowder{Name: w.Name, PowderID: w.PowderID, Then: w, NeedsG: w.PlannedG, Now: []LotStock{}}
	if w.WeighedG != nil {
		p.NeedsG = *w.WeighedG
	}
	if w.PowderID == 0 {
		return p, nil
	}
	powder, err := oneByID[Powder](ctx, tx, "powder", w.PowderID)
	if err != nil {
		return p, err
	}
	p.Name, p.RetireOn = powder.Name, powder.RetiredOn
	lots, err := stockOf(ctx, tx, "WHERE powder_id = ? AND left_g > 0 ORDER BY lot_id", w.PowderID)
	if err != nil {
		return p, err
	}
	p.Now = lots
	for _, l := range lots {
		p.TotalG += l.LeftG
		enough := l.LeftG >= p.NeedsG
		p.InStock = p.InStock || enough
		p.SameLot = p.SameLot || enough && l.LotID == w.LotID
	}
	return p, nil
}
