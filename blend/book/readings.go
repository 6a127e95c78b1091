package book

import (
	"encoding/json"
	"time"

	"tawny/colour"
)

// Reading is one colour read: of a client's or another skin, of a lot's
// drawdown, or of a batch.
type Reading struct {
	ID                int64            `json:"id"`
	ClientID          int64            `json:"client_id,omitempty"`
	SkinID            int64            `json:"skin_id,omitempty"`
	LotID             int64            `json:"lot_id,omitempty"`
	BatchID           int64            `json:"batch_id,omitempty"`
	TakenOn           string           `json:"taken_on"`             // day; today where empty
	Place             string           `json:"place,omitempty"`      // on the body, e.g. "inner forearm"
	How               string           `json:"how"`                  // instrument, photo, by eye or typed
	Seen              string           `json:"seen"`                 // on skin, in the jar, on a drawdown, powder or card
	Instrument        string           `json:"instrument,omitempty"` // which
	Geometry          string           `json:"geometry,omitempty"`   // di, de, 45 or photo; empty where nobody said
	Lab               colour.Lab       `json:"lab"`
	Reflectance       *colour.Spectrum `json:"reflectance,omitempty"`
	RepeatabilityDE00 *float64         `json:"repeatability_de00,omitempty"`
	Ground            string           `json:"ground,omitempty"` // black or white, under a drawdown
	LoadPercent       *float64         `json:"load_percent,omitempty"`
	ArealMgCM2        *float64         `json:"areal_mg_cm2,omitempty"`
	ArealErrorMgCM2   *float64         `json:"areal_error_mg_cm2,omitempty"`
	Document          json.RawMessage  `json:"document,omitempty"` // as the instrument gave it
	Note              string           `json:"note,omitempty"`
	RecordedAt        time.Time        `json:"recorded_at"`
}

var (
	howRead    = []string{"instrument", "photo", "by eye", "typed"}
	geometries = []string{"", "di", "de", "45", "photo"}
	whereSeen  = []string{"skin", "jar", "drawdown", "powder", "card"}
)

func (r *Reading) columns() []column {
	return columns(
		id(&r.ID), refers("client_id", "client", &r.ClientID).orNull(), refers("skin_id", "skin", &r.SkinID).orNull(),
		refers("lot_id", "lot", &r.LotID).orNull(), refers("batch_id", "batch", &r.BatchID).orNull(),
		date("taken_on", &r.TakenOn), word("place", &r.Place),
		oneOf("how", &r.How, howRead...), oneOf("seen", &r.Seen, whereSeen...),
		word("instrument", &r.Instrument), oneOf("geometry", &r.Geometry, geometries...),
		lab("lab", &r.Lab), spectrum("reflectance", &r.Reflectance),
		known("repeatability_de00", &r.RepeatabilityDE00, 0, 1000), oneOf("ground", &r.Ground, "", "black", "white"),
		known("load_percent", &r.LoadPercent, 0, 100), known("areal_mg_cm2", &r.ArealMgCM2, 0, 1000),
		known("areal_error_mg_cm2", &r.ArealErrorMgCM2, 0, 1000),
		doc("document", &r.Document), word("note", &r.Note), recorded(&r.RecordedAt))
}
