package book

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"time"

	"tawny/colour"
)

// Correction is a set of additions that brings a made batch back to its shade.
type Correction struct {
	ID            int64           `json:"id"`
	BatchID       int64           `json:"batch_id"`
	ReadingID     int64           `json:"reading_id,omitempty"` // the reading it was made from
	MadeOn        string          `json:"made_on,omitempty"`    // day; empty while it is only planned
	How           string          `json:"how"`                  // instrument, photo, by eye or typed
	Seen          string          `json:"seen"`                 // on skin, in the jar, on a drawdown, powder or card
	Measured      *colour.Lab     `json:"measured,omitempty"`
	DE00Before    *float64        `json:"de00_before,omitempty"`
	DE00Predicted *float64        `json:"de00_predicted,omitempty"` // once added to
	BeforeG       float64         `json:"before_g"`                 // the batch as it stood
	AfterG        *float64        `json:"after_g,omitempty"`        // the batch once added to, weighed
	Request       json.RawMessage `json:"request,omitempty"`
	Document      json.RawMessage `json:"document,omitempty"`
	Note          string          `json:"note,omitempty"`
	RecordedAt    time.Time       `json:"recorded_at"`

	Weights []Weight `json:"weights"` // what is added
}

// AddCorrection writes a new correction with its additions and returns its id.
// One that has been weighed and names no day was made today.
func (b *Book) AddCorrection(ctx context.Context, c Correction) (id int64, err error) {
	where := fmt.Sprintf("correction of batch %d", c.BatchID)
	if c.MadeOn == "" && weighed(c.Weights) {
		c.MadeOn = today()
	}
	err = b.update(ctx, where, func(tx *sql.Tx) error {
		t := tableNamed("correction")
		if err := t.checkRefs(ctx, tx, &c, where); err != nil {
			return err
		}
		if id, err = t.insert(ctx, tx, &c, where); err != nil {
			return err
		}
		return insertWeights(ctx, tx, where, c.Weights, tableNamed("correction_weight"), func(w Weight) any {
			return correctionWeight{id, w}
		})
	})
	if err != nil {
		return 0, err
	}
	return id, nil
}

// WeighCorrection writes the additions of a planned correction as actually
// weighed; see Weigh.
func (b *Book) WeighCorrection(ctx context.Context, correctionID int64, madeOn string, afterG *float64, weights []Weighing) error {
	where := fmt.Sprintf("correction %d", correctionID)
	return b.update(ctx, where, func(tx *sql.Tx) error {
		c, err := oneByID[Correction](ctx, tx, "correction", correctionID)
		if err != nil {
			return err
		}
		switch {
		case madeOn != "":
			c.MadeOn = madeOn
		case c.MadeOn == "":
			c.MadeOn = today()
		}
		if afterG != nil {
			c.AfterG = afterG
		}
		if err := tableNamed("correction").replace(ctx, tx, &c, where); err != nil {
			return err
		}
		return weigh(ctx, tx, where, "correction", correctionID, weights)
	})
}

// Correction returns the correction with this id, additions and all.
func (b *Book) Correction(ctx context.Context, id int64) (c Correction, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		c, err = correctionByID(ctx, tx, id)
		return err
	})
	return c, err
}

func correctionByID(ctx context.Context, tx *sql.Tx, id int64) (Correction, error) {
	c, err := oneByID[Correction](ctx, tx, "correction", id)
	if err == nil {
		c.Weights, err = find[Weight](ctx, tx, tableNamed("correction_weight"),
			"WHERE correction_id = ? ORDER BY position", id)
	}
	return c, err
}

// Corrections returns the corrections of a batch in the order they were
// written.
func (b *Book) Corrections(ctx context.Context, batchID int64) (found []Correction, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		heads, err := find[Correction](ctx, tx, tableNamed("correction"), "WHERE batch_id = ? ORDER BY id", batchID)
		for _, head := range heads {
			c, err := correctionByID(ctx, tx, head.ID)
			if err != nil {
				return err
			}
			found = append(found, c)
		}
		return err
	})
	return found, err
}
