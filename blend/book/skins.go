package book

import (
	"encoding/json"
	"time"

	"tawny/colour"
)

// Skin is a skin kept by name: a client's, or a preset of the maker's own.
type Skin struct {
	ID          int64            `json:"id"`
	ClientID    int64            `json:"client_id,omitempty" book:"of client,null"`
	Name        string           `json:"name,omitempty"`
	How         string           `json:"how" book:"in reading|average|photo|sliders|hex|preset"` // reading, average, photo, sliders, hex or preset
	Lab         colour.Lab       `json:"lab"`
	SpreadDE00  *float64         `json:"spread_de00,omitempty" book:"from 0 to 1000"` // of the readings it came from
	Reflectance *colour.Spectrum `json:"reflectance,omitempty"`
	Document    json.RawMessage  `json:"document,omitempty"`
	Note        string           `json:"note,omitempty"`
	RecordedAt  time.Time        `json:"recorded_at"`
	Geometry    string           `json:"geometry,omitempty" book:"in |di|de|45|photo"` // of the reading; of a set of readings, theirs
}
