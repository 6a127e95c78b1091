package book

import (
	"encoding/json"
	"time"
)

// Fit is a powder fitted to readings of its drawdowns.
type Fit struct {
	ID         int64           `json:"id"`
	PowderID   int64           `json:"powder_id" book:"of powder"`
	LotID      int64           `json:"lot_id,omitempty" book:"of lot,null"`
	FittedOn   string          `json:"fitted_on" book:"day"`                                // day; today where empty
	Verdict    string          `json:"verdict" book:"in holds|use with care|does not hold"` // holds, use with care or does not hold
	Why        string          `json:"why,omitempty"`
	MeanDE00   float64         `json:"mean_de00" book:"from 0 to 1000"` // residuals of its readings
	WorstDE00  float64         `json:"worst_de00" book:"from 0 to 1000"`
	Strength   *float64        `json:"strength,omitempty" book:"from 0 to 100"` // against the lot before; 1 is the same
	Geometry   string          `json:"geometry,omitempty"`
	Document   json.RawMessage `json:"document,omitempty"` // the fitted palette row and spectra
	Note       string          `json:"note,omitempty"`
	RecordedAt time.Time       `json:"recorded_at"`

	Readings []FitReading `json:"readings"`
}

// FitReading is a reading a fit was made from and how far off it is left.
type FitReading struct {
	FitID        int64   `json:"fit_id,omitempty" book:"of fit"`
	ReadingID    int64   `json:"reading_id" book:"of reading"`
	ResidualDE00 float64 `json:"residual_de00" book:"from 0 to 1000"`
}
