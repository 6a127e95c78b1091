package book

import (
	"encoding/json"
	"time"

	"tawny/colour"
)

// Skin is a skin kept by name: a client's, or a preset of the maker's own.
type Skin struct {
	ID          int64            `json:"id"`
	ClientID    int64            `json:"client_id,omitempty"`
	Name        string           `json:"name,omitempty"`
	How         string           `json:"how"` // reading, average, photo, sliders, hex or preset
	Lab         colour.Lab       `json:"lab"`
	SpreadDE00  *float64         `json:"spread_de00,omitempty"` // of the readings it came from
	Reflectance *colour.Spectrum `json:"reflectance,omitempty"`
	Document    json.RawMessage  `json:"document,omitempty"`
	Note        string           `json:"note,omitempty"`
	RecordedAt  time.Time        `json:"recorded_at"`
	Geometry    string           `json:"geometry,omitempty"` // of the reading; of a set of readings, theirs
}

func (s *Skin) columns() []column {
	return columns(
		id(&s.ID), refers("client_id", "client", &s.ClientID).orNull(), word("name", &s.Name),
		oneOf("how", &s.How, "reading", "average", "photo", "sliders", "hex", "preset"),
		lab("lab", &s.Lab), known("spread_de00", &s.SpreadDE00, 0, 1000), spectrum("reflectance", &s.Reflectance),
		doc("document", &s.Document), word("note", &s.Note), recorded(&s.RecordedAt), oneOf("geometry", &s.Geometry, geometries...))
}
