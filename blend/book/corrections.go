package book

import (
	"encoding/json"
	"time"

	"tawny/colour"
)

// Correction is a set of additions that brings a made batch back to its shade.
type Correction struct {
	ID            int64           `json:"id"`
	BatchID       int64           `json:"batch_id" book:"of batch"`
	ReadingID     int64           `json:"reading_id,omitempty" book:"of reading,null,personal"` // the reading it was made from
	MadeOn        string          `json:"made_on,omitempty" book:"day,null"`                    // day; empty while it is only planned
	How           string          `json:"how" book:"in instrument|photo|by eye|typed"`          // instrument, photo, by eye or typed
	Seen          string          `json:"seen" book:"in skin|jar|drawdown|powder|card"`         // on skin, in the jar, on a drawdown, powder or card
	Measured      *colour.Lab     `json:"measured,omitempty" book:"personal"`
	DE00Before    *float64        `json:"de00_before,omitempty" book:"from 0 to 1000"`
	DE00Predicted *float64        `json:"de00_predicted,omitempty" book:"from 0 to 1000"` // once added to
	BeforeG       float64         `json:"before_g" book:"from 0 to 1e6"`                  // the batch as it stood
	AfterG        *float64        `json:"after_g,omitempty" book:"from 0 to 1e6"`         // the batch once added to, weighed
	Request       json.RawMessage `json:"request,omitempty" book:"personal"`
	Document      json.RawMessage `json:"document,omitempty" book:"personal"`
	Note          string          `json:"note,omitempty" book:"personal"`
	RecordedAt    time.Time       `json:"recorded_at"`
	Geometry      string          `json:"geometry,omitempty" book:"in |di|de|45|photo"` // measured was read in

	Weights []Weight `json:"weights"` // what is added
}

func (c *Correction) prepare(string) error {
	c.MadeOn = madeOn(c.MadeOn, c.Weights)
	return nil
}
