package book

import (
	"context"
	"encoding/json"
	"fmt"
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

// AddReading writes a new reading and returns its id.
func (b *Book) AddReading(ctx context.Context, r Reading) (int64, error) {
	if r.TakenOn == "" {
		r.TakenOn = today()
	}
	return b.add(ctx, "reading", fmt.Sprintf("reading of %s", r.TakenOn), &r)
}

// Reading returns the reading with this id.
func (b *Book) Reading(ctx context.Context, id int64) (Reading, error) {
	return byID[Reading](ctx, b, "reading", id)
}

// ReadingsOf says whose readings are wanted; a zero field asks nothing.
type ReadingsOf struct{ ClientID, SkinID, LotID, BatchID int64 }

// Readings returns the readings that match every field given, oldest first.
func (b *Book) Readings(ctx context.Context, of ReadingsOf) ([]Reading, error) {
	return all[Reading](ctx, b, "reading",
		"WHERE (?1 = 0 OR client_id = ?1) AND (?2 = 0 OR skin_id = ?2) AND (?3 = 0 OR lot_id = ?3) "+
			"AND (?4 = 0 OR batch_id = ?4) ORDER BY taken_on, id", of.ClientID, of.SkinID, of.LotID, of.BatchID)
}
