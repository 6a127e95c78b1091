package book

import (
	"cmp"
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"slices"
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
	of   string // batch or correction
	ofID int64

	Position int64    `json:"position,omitempty"` // from 1, in the order given
	Role     string   `json:"role"`               // powder or base
	Name     string   `json:"name"`               // of the powder, or of the base's ingredient
	PowderID int64    `json:"powder_id,omitempty"`
	LotID    int64    `json:"lot_id,omitempty"`
	Lot      string   `json:"lot,omitempty"` // of an ingredient too, for a recall
	PlannedG float64  `json:"planned_g"`
	WeighedG *float64 `json:"weighed_g,omitempty"` // none until it is on the balance
}

func (b *Batch) columns() []column {
	return columns(
		id(&b.ID), word("name", &b.Name).private(), refers("blend_id", "blend", &b.BlendID).orNull(),
		refers("client_id", "client", &b.ClientID).orNull().private(), word("base", &b.Base),
		date("made_on", &b.MadeOn).orNull(), amount("planned_g", &b.PlannedG, 0, maxGrams), known("made_g", &b.MadeG, 0, maxGrams),
		amount("load_percent", &b.LoadPercent, 0, 100),
		column{name: "containers", kind: integer, at: &b.Containers, low: 1, top: 1e6, null: true},
		known("container_ml", &b.ContainerML, 0, maxGrams), known("cost", &b.Cost, 0, 1e9),
		doc("request", &b.Request).private(), doc("document", &b.Document).private(), word("note", &b.Note).private(),
		recorded(&b.RecordedAt))
}

func (w *Weight) columns() []column {
	return columns(
		refers(w.of+"_id", w.of, &w.ofID), count("position", &w.Position, 1, 1000), oneOf("role", &w.Role, "powder", "base"),
		word("name", &w.Name).given(), refers("powder_id", "powder", &w.PowderID).orNull(),
		refers("lot_id", "lot", &w.LotID).orNull(), word("lot", &w.Lot),
		amount("planned_g", &w.PlannedG, 0, maxGrams), known("weighed_g", &w.WeighedG, 0, maxGrams))
}

func (b *Batch) readParts(ctx context.Context, tx *sql.Tx) (err error) {
	b.Weights, err = find[Weight](ctx, tx, "batch_weight", "WHERE batch_id = ? ORDER BY position", b.ID)
	return err
}

// AddBatch writes a new batch with its weights and returns its id. One that
// has been weighed and names no day was made today.
func (b *Book) AddBatch(ctx context.Context, batch Batch) (int64, error) {
	where := fmt.Sprintf("batch %q", batch.Name)
	batch.MadeOn = madeOn(batch.MadeOn, batch.Weights)
	return b.add(ctx, "batch", where, &batch, func(tx *sql.Tx, id int64) error {
		return insertWeights(ctx, tx, where, "batch", id, batch.Weights)
	})
}

// madeOn is the day of what names none: today where it has been weighed.
func madeOn(day string, ws []Weight) string {
	if day == "" && slices.ContainsFunc(ws, func(w Weight) bool { return w.WeighedG != nil }) {
		return today()
	}
	return day
}

func insertWeights(ctx context.Context, tx *sql.Tx, where, of string, id int64, ws []Weight) error {
	for i, w := range ws {
		w.of, w.ofID, w.Position = of, id, int64(i+1)
		where := fmt.Sprintf("%s, weight %d", where, i+1)
		if w.Role == "powder" {
			if err := resolve(ctx, tx, where, &w.Name, &w.PowderID, &w.Lot, &w.LotID); err != nil {
				return err
			}
		} else if w.PowderID != 0 || w.LotID != 0 {
			return &FieldError{where, "role", "an ingredient of the base has no powder; give powder as its role"}
		}
		if _, err := tableNamed(of+"_weight").insert(ctx, tx, &w, where); err != nil {
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
	return b.weigh(ctx, "batch", "made_g", batchID, madeOn, madeG, weights)
}

// weigh writes the weighings of a batch or a correction; total names the
// column of what all of it weighed.
func (b *Book) weigh(ctx context.Context, of, total string, id int64, madeOn string, totalG *float64, weights []Weighing) error {
	where := fmt.Sprintf("%s %d", of, id)
	head := tableNamed(of)
	return b.update(ctx, where, func(tx *sql.Tx) error {
		err := head.change(ctx, tx, id, where, func(row []any) {
			if on := head.column("made_on"); madeOn != "" || row[on] == nil {
				row[on] = cmp.Or(madeOn, today())
			}
			if totalG != nil {
				row[head.column(total)] = *totalG
			}
		})
		if err != nil {
			return err
		}
		for _, g := range weights {
			if err := g.write(ctx, tx, of, id, fmt.Sprintf("%s, weight %d", where, g.Position)); err != nil {
				return err
			}
		}
		return nil
	})
}

func (g *Weighing) write(ctx context.Context, tx *sql.Tx, of string, id int64, where string) error {
	parts := tableNamed(of + "_weight")
	w, err := one[Weight](ctx, tx, parts.name, where, "WHERE "+of+"_id = ? AND position = ?", id, g.Position)
	if err != nil {
		return err
	}
	w.WeighedG = &g.WeighedG
	if g.Lot != "" && g.Lot != w.Lot {
		w.Lot, w.LotID = g.Lot, 0
		if w.Role == "powder" {
			if err := resolve(ctx, tx, where, &w.Name, &w.PowderID, &w.Lot, &w.LotID); err != nil {
				return err
			}
		}
	}
	return parts.replace(ctx, tx, rowOf(&w), where)
}

// Batch returns the batch with this id, weights and all.
func (b *Book) Batch(ctx context.Context, id int64) (Batch, error) {
	return byID[Batch](ctx, b, "batch", id)
}
