package book

import (
	"encoding/json"
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

func (f *Fit) columns() []column {
	return columns(
		id(&f.ID), refers("powder_id", "powder", &f.PowderID), refers("lot_id", "lot", &f.LotID).orNull(), date("fitted_on", &f.FittedOn),
		oneOf("verdict", &f.Verdict, "holds", "use with care", "does not hold"), word("why", &f.Why),
		amount("mean_de00", &f.MeanDE00, 0, 1000), amount("worst_de00", &f.WorstDE00, 0, 1000),
		known("strength", &f.Strength, 0, 100), word("geometry", &f.Geometry),
		doc("document", &f.Document), word("note", &f.Note), recorded(&f.RecordedAt))
}

func (r *FitReading) columns() []column {
	return columns(
		refers("fit_id", "fit", &r.FitID), refers("reading_id", "reading", &r.ReadingID),
		amount("residual_de00", &r.ResidualDE00, 0, 1000))
}

func (f *Fit) parts() parts { return partList[FitReading, *FitReading]{"fit_reading", &f.Readings} }
