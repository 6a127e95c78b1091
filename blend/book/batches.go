package book

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"time"
)

// Batch is a making of a blend: planned, then weighed.
type Batch struct {
	ID          int64           `json:"id"`
	Name        string          `json:"name,omitempty"`
	BlendID     int64           `json:"blend_id,omitempty"`
	ClientID    int64           `json:"client_id,omitempty"`
	Base        string          `json:"base,omitempty"`
	MadeOn      string          `json:"made_on,omitempty"` // day; empty while it is only planned
	PlannedG    float64         `json:"planned_g"`         // the whole batch
	MadeG       *float64        `json:"made_g,omitempty"`  // what the finished batch weighed
	LoadPercent float64         `json:"load_percent"`      // % w/w of colourants
	Containers  *int64          `json:"containers,omitempty"`
	ContainerML *float64        `json:"container_ml,omitempty"`
	Cost        *float64        `json:"cost,omitempty"`     // in the maker's own currency
	Request     json.RawMessage `json:"request,omitempty"`  // what was asked, whole
	Document    json.RawMessage `json:"document,omitempty"` // the result, whole
	Note        string          `json:"note,omitempty"`
	RecordedAt  time.Time       `json:"recorded_at"`

	Weights []Weight `json:"weights"`
}

// Weight is one thing weighed into a batch or a correction.
type Weight struct {
	Position int64    `json:"position,omitempty"` // from 1, in the order given
	Role     string   `json:"role"`               // powder or base
	Name     string   `json:"name"`               // of the powder, or of the base's ingredient
	PowderID int64    `json:"powder_id,omitempty"`
	LotID    int64    `json:"lot_id,omitempty"`
	Lot      string   `json:"lot,omitempty"` // of an ingredient too, for a recall
	PlannedG float64  `json:"planned_g"`
	WeighedG *float64 `json:"weighed_g,omitempty"` // none until it is on the balance
}

// The rows a Weight becomes.
type batchWeight struct {
	BatchID int64 `json:"batch_id"`
	Weight
}

type correctionWeight struct {
	CorrectionID int64 `json:"correction_id"`
	Weight
}

// AddBatch writes a new batch with its weights and returns its id. One that
// has been weighed and names no day was made today.
func (b *Book) AddBatch(ctx context.Context, batch Batch) (id int64, err error) {
	where := fmt.Sprintf("batch %q", batch.Name)
	if batch.MadeOn == "" && weighed(batch.Weights) {
		batch.MadeOn = today()
	}
	err = b.update(ctx, where, func(tx *sql.Tx) error {
		t := tableNamed("batch")
		if err := t.checkRefs(ctx, tx, &batch, where); err != nil {
			return err
		}
		if id, err = t.insert(ctx, tx, &batch, where); err != nil {
			return err
		}
		return insertWeights(ctx, tx, where, batch.Weights, tableNamed("batch_weight"), func(w Weight) any {
			return batchWeight{id, w}
		})
	})
	if err != nil {
		return 0, err
	}
	return id, nil
}

func weighed(ws []Weight) bool {
	for _, w := range ws {
		if w.WeighedG != nil {
			return true
		}
	}
	return false
}

func insertWeights(ctx context.Context, tx *sql.Tx, where string, ws []Weight, t *table, row func(Weight) any) error {
	for i, w := range ws {
		w.Position = int64(i + 1)
		where := fmt.Sprintf("%s, weight %d", where, i+1)
		if w.Role == "powder" {
			if err := resolve(ctx, tx, where, &w.Name, &w.PowderID, &w.Lot, &w.LotID); err != nil {
				return err
			}
		} else if w.PowderID != 0 || w.LotID != 0 {
			return &FieldError{where, "role", "an ingredient of the base has no powder; give powder as its role"}
		}
		if _, err := t.insert(ctx, tx, row(w), where); err != nil {
			return err
		}
	}
	return nil
}

// Weighing is what the balance showed for one of a batch's weights.
type Weighing struct {
	Position int64   // of the weight in the batch, from 1
	WeighedG float64 // grams
	Lot      string  // the bag it came from; empty keeps the one planned
}

// Weigh writes the weights of a planned batch as actually weighed. madeOn is
// the day, today where empty; madeG what the finished batch weighed, nil where
// not known yet. Weighing one again replaces what was written.
func (b *Book) Weigh(ctx context.Context, batchID int64, madeOn string, madeG *float64, weights []Weighing) error {
	where := fmt.Sprintf("batch %d", batchID)
	return b.update(ctx, where, func(tx *sql.Tx) error {
		batch, err := oneByID[Batch](ctx, tx, "batch", batchID)
		if err != nil {
			return err
		}
		switch {
		case madeOn != "":
			batch.MadeOn = madeOn
		case batch.MadeOn == "":
			batch.MadeOn = today()
		}
		if madeG != nil {
			batch.MadeG = madeG
		}
		if err := tableNamed("batch").replace(ctx, tx, &batch, where); err != nil {
			return err
		}
		return weigh(ctx, tx, where, "batch", batchID, weights)
	})
}

// weigh writes the weighings of a batch or a correction.
func weigh(ctx context.Context, tx *sql.Tx, where, of string, id int64, weights []Weighing) error {
	t := tableNamed(of + "_weight")
	for _, g := range weights {
		where := fmt.Sprintf("%s, weight %d", where, g.Position)
		w, err := one[Weight](ctx, tx, t, where, "WHERE "+of+"_id = ? AND position = ?", id, g.Position)
		if err != nil {
			return err
		}
		if g.Lot != "" && g.Lot != w.Lot {
			w.Lot, w.LotID = g.Lot, 0
			if w.Role == "powder" {
				if err := resolve(ctx, tx, where, &w.Name, &w.PowderID, &w.Lot, &w.LotID); err != nil {
					return err
				}
			}
		}
		w.WeighedG = &g.WeighedG
		var full any = batchWeight{id, w}
		if of == "correction" {
			full = correctionWeight{id, w}
		}
		row := t.toRow(full)
		if err := t.check(row, where); err != nil {
			return err
		}
		_, err = tx.ExecContext(ctx, "UPDATE "+t.name+" SET powder_id = ?, lot_id = ?, lot = ?, weighed_g = ? WHERE "+
			of+"_id = ? AND position = ?", row[t.column("powder_id")], row[t.column("lot_id")],
			row[t.column("lot")], row[t.column("weighed_g")], id, g.Position)
		if err != nil {
			return err
		}
	}
	return nil
}

// Batch returns the batch with this id, weights and all.
func (b *Book) Batch(ctx context.Context, id int64) (batch Batch, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		batch, err = batchByID(ctx, tx, id)
		return err
	})
	return batch, err
}

func batchByID(ctx context.Context, tx *sql.Tx, id int64) (Batch, error) {
	batch, err := oneByID[Batch](ctx, tx, "batch", id)
	if err == nil {
		batch.Weights, err = find[Weight](ctx, tx, tableNamed("batch_weight"),
			"WHERE batch_id = ? ORDER BY position", id)
	}
	return batch, err
}
