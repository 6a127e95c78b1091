package book

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
	"time"
)

// Fit is a powder fitted to readings of its drawdowns.
type Fit struct {
	ID         int64           `json:"id"`
	PowderID   int64           `json:"powder_id"`
	LotID      int64           `json:"lot_id,omitempty"`
	FittedOn   string          `json:"fitted_on"` // day; today where empty
	Verdict    string          `json:"verdict"`   // holds, use with care or does not hold
	Why        string          `json:"why,omitempty"`
	MeanDE00   float64         `json:"mean_de00"` // residuals of its readings
	WorstDE00  float64         `json:"worst_de00"`
	Strength   *float64        `json:"strength,omitempty"` // against the lot before; 1 is the same
	Geometry   string          `json:"geometry,omitempty"`
	Document   json.RawMessage `json:"document,omitempty"` // the fitted palette row and spectra
	Note       string          `json:"note,omitempty"`
	RecordedAt time.Time       `json:"recorded_at"`

	Readings []FitReading `json:"readings"`
}

// FitReading is a reading a fit was made from and how far off it is left.
type FitReading struct {
	FitID        int64   `json:"fit_id,omitempty"`
	ReadingID    int64   `json:"reading_id"`
	ResidualDE00 float64 `json:"residual_de00"`
}

// AddFit writes a new fit with the readings it stands on and returns its id.
func (b *Book) AddFit(ctx context.Context, f Fit) (id int64, err error) {
	if f.FittedOn == "" {
		f.FittedOn = today()
	}
	where := fmt.Sprintf("fit of powder %d", f.PowderID)
	err = b.update(ctx, where, func(tx *sql.Tx) error {
		t, parts := tableNamed("fit"), tableNamed("fit_reading")
		if err := t.checkRefs(ctx, tx, &f, where); err != nil {
			return err
		}
		if id, err = t.insert(ctx, tx, &f, where); err != nil {
			return err
		}
		for i, r := range f.Readings {
			r.FitID = id
			where := fmt.Sprintf("%s, reading %d", where, i+1)
			if err := parts.checkRefs(ctx, tx, &r, where); err != nil {
				return err
			}
			if _, err := parts.insert(ctx, tx, &r, where); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return 0, err
	}
	return id, nil
}

// Fit returns the fit with this id, residuals and all.
func (b *Book) Fit(ctx context.Context, id int64) (f Fit, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		if f, err = oneByID[Fit](ctx, tx, "fit", id); err != nil {
			return err
		}
		f.Readings, err = find[FitReading](ctx, tx, tableNamed("fit_reading"),
			"WHERE fit_id = ? ORDER BY reading_id", id)
		return err
	})
	return f, err
}

// Fits returns the fits of a powder, newest first, without their readings.
func (b *Book) Fits(ctx context.Context, powderID int64) ([]Fit, error) {
	return all[Fit](ctx, b, "fit", "WHERE powder_id = ? ORDER BY id DESC", powderID)
}
