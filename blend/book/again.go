package book

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
)

// Again is what is needed to make a batch once more: what was asked then, and
// the powders used then, to match against.
type Again struct {
	Batch   Batch
	Request json.RawMessage // the batch's, or else its blend's
	Powders []AgainPowder
	Says    string // why there is no request
}

// AgainPowder is one powder of a batch.
type AgainPowder struct {
	Name     string // today's
	Then     Weight
	RetireOn string
}

// MakeAgain returns what is needed to make the batch once more. The caller
// matches the request again with today's lots.
func (b *Book) MakeAgain(ctx context.Context, batchID int64) (again Again, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		if again.Batch, err = get[Batch](ctx, tx, batchID); err != nil {
			return err
		}
		again.Request = again.Batch.Request
		if again.Request == nil && again.Batch.BlendID != 0 {
			blend, err := get[Blend](ctx, tx, again.Batch.BlendID)
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
			p := AgainPowder{Name: w.Name, Then: w}
			if w.PowderID != 0 {
				powder, err := get[Powder](ctx, tx, w.PowderID)
				if err != nil {
					return err
				}
				p.Name, p.RetireOn = powder.Name, powder.RetiredOn
			}
			again.Powders = append(again.Powders, p)
		}
		return nil
	})
	return again, err
}
