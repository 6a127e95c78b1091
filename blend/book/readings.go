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
	ClientID          int64            `json:"client_id,omitempty" book:"of client,null"`
	SkinID            int64            `json:"skin_id,omitempty" book:"of skin,null"`
	LotID             int64            `json:"lot_id,omitempty" book:"of lot,null"`
	BatchID           int64            `json:"batch_id,omitempty" book:"of batch,null"`
	TakenOn           string           `json:"taken_on" book:"day"`                          // day; today where empty
	Place             string           `json:"place,omitempty"`                              // on the body, e.g. "inner forearm"
	How               string           `json:"how" book:"in instrument|photo|by eye|typed"`  // instrument, photo, by eye or typed
	Seen              string           `json:"seen" book:"in skin|jar|drawdown|powder|card"` // on skin, in the jar, on a drawdown, powder or card
	Instrument        string           `json:"instrument,omitempty"`                         // which
	Geometry          string           `json:"geometry,omitempty" book:"in |di|de|45|photo"` // di, de, 45 or photo; empty where nobody said
	Lab               colour.Lab       `json:"lab"`
	Reflectance       *colour.Spectrum `json:"reflectance,omitempty"`
	RepeatabilityDE00 *float64         `json:"repeatability_de00,omitempty" book:"from 0 to 1000"`
	Ground            string           `json:"ground,omitempty" book:"in |black|white"` // black or white, under a drawdown
	LoadPercent       *float64         `json:"load_percent,omitempty" book:"from 0 to 100"`
	ArealMgCM2        *float64         `json:"areal_mg_cm2,omitempty" book:"from 0 to 1000"`
	ArealErrorMgCM2   *float64         `json:"areal_error_mg_cm2,omitempty" book:"from 0 to 1000"`
	Document          json.RawMessage  `json:"document,omitempty"` // as the instrument gave it
	Note              string           `json:"note,omitempty"`
	RecordedAt        time.Time        `json:"recorded_at"`
}
