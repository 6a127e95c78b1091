package book

import (
	"encoding/json"
	"time"
)

// Powder is one powder of the drawer. What it does to light is in Document, as
// the palette gave it.
type Powder struct {
	ID         int64           `json:"id"`
	Name       string          `json:"name" book:"required"` // its own among the powders, capitals aside
	Family     string          `json:"family"`
	Source     string          `json:"source" book:"in modelled|guessed|measured|demo"` // modelled, guessed, measured or demo
	Note       string          `json:"note,omitempty"`
	Document   json.RawMessage `json:"document,omitempty"`
	RetiredOn  string          `json:"retired_on,omitempty" book:"day,null"` // day; kept for the record only from then on
	RecordedAt time.Time       `json:"recorded_at"`
}
