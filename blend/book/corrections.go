package book

import (
	"encoding/json"
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
	Geometry      string          `json:"geometry,omitempty"` // measured was read in

	Weights []Weight `json:"weights"` // what is added
}

func (c *Correction) columns() []column {
	return columns(
		id(&c.ID), refers("batch_id", "batch", &c.BatchID), refers("reading_id", "reading", &c.ReadingID).orNull().private(),
		date("made_on", &c.MadeOn).orNull(), oneOf("how", &c.How, howRead...), oneOf("seen", &c.Seen, whereSeen...),
		personLab("measured", &c.Measured), known("de00_before", &c.DE00Before, 0, 1000),
		known("de00_predicted", &c.DE00Predicted, 0, 1000),
		amount("before_g", &c.BeforeG, 0, maxGrams), known("after_g", &c.AfterG, 0, maxGrams),
		doc("request", &c.Request).private(), doc("document", &c.Document).private(), word("note", &c.Note).private(),
		recorded(&c.RecordedAt), oneOf("geometry", &c.Geometry, geometries...))
}

func (c *Correction) parts() parts { return partList[Weight, *Weight]{"correction_weight", &c.Weights} }

func (c *Correction) prepare(string) error {
	c.MadeOn = madeOn(c.MadeOn, c.Weights)
	return nil
}
