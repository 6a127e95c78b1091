package book

import (
	"encoding/json"
	"time"
)

// Powder is one powder of the drawer. What it does to light is in Document, as
// the palette gave it.
type Powder struct {
	ID         int64           `json:"id"`
	Name       string          `json:"name"` // its own among the powders, capitals aside
	Family     string          `json:"family"`
	Source     string          `json:"source"` // modelled, guessed, measured or demo
	Note       string          `json:"note,omitempty"`
	Document   json.RawMessage `json:"document,omitempty"`
	RetiredOn  string          `json:"retired_on,omitempty"` // day; kept for the record only from then on
	RecordedAt time.Time       `json:"recorded_at"`
}

func (p *Powder) columns() []column {
	return columns(
		id(&p.ID), word("name", &p.Name).given(), word("family", &p.Family),
		oneOf("source", &p.Source, "modelled", "guessed", "measured", "demo"),
		word("note", &p.Note), doc("document", &p.Document), date("retired_on", &p.RetiredOn).orNull(), recorded(&p.RecordedAt))
}
