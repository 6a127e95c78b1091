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
	Name        string          `json:"name,omitempty" book:"personal"`
	BlendID     int64           `json:"blend_id,omitempty" book:"of blend,null"`
	ClientID    int64           `json:"client_id,omitempty" book:"of client,null,personal"`
	Base        string          `json:"base,omitempty"`
	MadeOn      string          `json:"made_on,omitempty" book:"day,null"`     // day; empty while it is only planned
	PlannedG    float64         `json:"planned_g" book:"from 0 to 1e6"`        // the whole batch
	MadeG       *float64        `json:"made_g,omitempty" book:"from 0 to 1e6"` // what the finished batch weighed
	LoadPercent float64         `json:"load_percent" book:"from 0 to 100"`     // % w/w of colourants
	Containers  *int64          `json:"containers,omitempty" book:"from 1 to 1e6"`
	ContainerML *float64        `json:"container_ml,omitempty" book:"from 0 to 1e6"`
	Cost        *float64        `json:"cost,omitempty" book:"from 0 to 1e9"` // in the maker's own currency
	Request     json.RawMessage `json:"request,omitempty" book:"personal"`   // what was asked, whole
	Document    json.RawMessage `json:"document,omitempty" book:"personal"`  // the result, whole
	Note        string          `json:"note,omitempty" book:"personal"`
	RecordedAt  time.Time       `json:"recorded_at"`

	Weights []Weight `json:"weights"`
}

// Weight is one thing weighed into a batch or a correction.
type Weight struct {
	OfID int64 `json:"-" book:"of batch"` // or of a correction

	Position int64    `json:"position,omitempty" book:"from 1 to 1000"` // from 1, in the order given
	Role     string   `json:"role" book:"in powder|base"`               // powder or base
	Name     string   `json:"name" book:"required"`                     // of the powder, or of the base's ingredient
	PowderID int64    `json:"powder_id,omitempty" book:"of powder,null"`
	LotID    int64    `json:"lot_id,omitempty" book:"of lot,null"`
	Lot      string   `json:"lot,omitempty"` // of an ingredient too, for a recall
	PlannedG float64  `json:"planned_g" book:"from 0 to 1e6"`
	WeighedG *float64 `json:"weighed_g,omitempty" book:"from 0 to 1e6"` // none until it is on the balance
}

// Grams is what went in: as weighed, as planned until then.
func (w *Weight) Grams() float64 {
	if w.WeighedG != nil {
		return *w.WeighedG
	}
	return w.PlannedG
}

func (b *Batch) prepare(string) error {
	b.MadeOn = madeOn(b.MadeOn, b.Weights)
	return nil
}

// madeOn is the day of what names none: today where it has been weighed.
func madeOn(day string, ws []Weight) string {
	if day == "" && slices.ContainsFunc(ws, func(w Weight) bool { return w.WeighedG != nil }) {
		return today()
	}
	return day
}

func (w *Weight) resolve(ctx context.Context, tx *sql.Tx, where string) error {
	if w.Role == "powder" {
		return resolve(ctx, tx, where, &w.Name, &w.PowderID, &w.Lot, &w.LotID)
	}
	if w.PowderID != 0 || w.LotID != 0 {
		return &FieldError{where, "role", "an ingredient of the base has no powder; give powder as its role"}
	}
	return nil
}

// OfCode is the batch that bears a code, capitals aside: the one it was asked for with, or
// of that number where none was; 0 where none does.
func (b *Book) OfCode(ctx context.Context, code string) (id int64, err error) {
	ids, err := gathered(ctx, b, cell[int64], "SELECT id FROM batch WHERE coalesce(nullif("+
		"iif(json_valid(request), json_extract(request, '$.code'), ''), ''), CAST(id AS TEXT)) = ? COLLATE NOCASE", code)
	if len(ids) > 0 {
		id = ids[0]
	}
	return id, err
}

// SetCode writes the code that a batch bears into what was asked for it and its sheet.
func (b *Book) SetCode(ctx context.Context, id int64, code string) error {
	where := fmt.Sprintf("batch %d", id)
	return b.update(ctx, where, func(tx *sql.Tx) error {
		done, err := tx.ExecContext(ctx, "UPDATE batch SET request = json_set(request, '$.code', ?1), document = json_set(document, '$.code', ?1) "+
			"WHERE id = ?2 AND json_valid(request)", code, id)
		if err != nil {
			return err
		}
		if n, err := done.RowsAffected(); err != nil || n > 0 {
			return err
		}
		return &FieldError{where, "code", "what was asked for it is not in the book, where a code is kept"}
	})
}

// Weighing is what the balance showed for one of a batch's weights.
type Weighing struct {
	Position int64    // of the weight in the batch, from 1; 0 adds one that was not planned
	Name     string   // of what was put in beside the lines: an ingredient's
	WeighedG *float64 // grams; nil takes back what was written
	Lot      string   // the bag it came from; empty keeps the one planned
}

// Weigh writes the weights of a planned batch or correction as actually weighed.
// madeOn is the day, today where empty and any was weighed; totalG what the batch
// weighed then, nil where not known yet and 0 where that is taken back; sheet its document with what was read at the
// bench, nil where nothing was. Weighing one again replaces what was written.
func (b *Book) Weigh(ctx context.Context, kind Kind, id int64, madeOn string, totalG *float64, sheet json.RawMessage, weights []Weighing) error {
	head, total := tableOf[Batch](), "made_g"
	if kind == Corrections {
		head, total = tableOf[Correction](), "after_g"
	}
	where := fmt.Sprintf("%s %d", head.name, id)
	return b.update(ctx, where, func(tx *sql.Tx) error {
		err := head.change(ctx, tx, id, where, func(row []any) {
			if on := head.column("made_on"); madeOn != "" || row[on] == nil && (len(weights) > 0 || totalG != nil && *totalG > 0) {
				row[on] = cmp.Or(madeOn, today())
			}
			if sheet != nil {
				row[head.column("document")] = string(sheet)
			}
			if totalG != nil {
				row[head.column(total)] = *totalG
				if *totalG == 0 {
					row[head.column(total)] = nil
				}
			}
		})
		if err != nil {
			return err
		}
		for _, g := range weights {
			if err := g.write(ctx, tx, head.name, id, fmt.Sprintf("%s, weight %d", where, g.Position)); err != nil {
				return err
			}
		}
		if totalG != nil && *totalG == 0 { // with nothing weighed it is planned again
			_, err = tx.ExecContext(ctx, "UPDATE "+head.name+" SET made_on = NULL WHERE id = ?1 AND NOT EXISTS (SELECT 1 FROM "+
				head.name+"_weight WHERE "+head.name+"_id = ?1 AND weighed_g IS NOT NULL)", id)
		}
		return err
	})
}

func (g *Weighing) write(ctx context.Context, tx *sql.Tx, of string, id int64, where string) error {
	parts := tableNamed(of + "_weight")
	if g.Position == 0 {
		w := Weight{OfID: id, Role: "base", Name: g.Name, WeighedG: g.WeighedG}
		err := tx.QueryRowContext(ctx, "SELECT count(*) + 1 FROM "+parts.name+" WHERE "+of+"_id = ?", id).Scan(&w.Position)
		if err == nil {
			_, err = parts.insert(ctx, tx, parts.row(&w), where)
		}
		return err
	}
	found, err := findIn[Weight](ctx, tx, parts, "WHERE "+of+"_id = ? AND position = ?", id, g.Position)
	if err == nil && len(found) == 0 {
		err = fmt.Errorf("%s: %w", where, ErrNotFound)
	}
	if err != nil {
		return err
	}
	w := found[0]
	w.WeighedG = g.WeighedG
	if g.Lot != "" && g.Lot != w.Lot {
		w.Lot, w.LotID = g.Lot, 0
		if err := w.resolve(ctx, tx, where); err != nil {
			return err
		}
	}
	return parts.replace(ctx, tx, parts.row(&w), where)
}
