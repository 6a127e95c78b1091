package book

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
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

// AddPowder writes a new powder and returns its id.
func (b *Book) AddPowder(ctx context.Context, p Powder) (int64, error) {
	return b.add(ctx, "powder", fmt.Sprintf("powder %q", p.Name), &p)
}

// Powder returns the powder with this id.
func (b *Book) Powder(ctx context.Context, id int64) (Powder, error) {
	return byID[Powder](ctx, b, "powder", id)
}

// PowderNamed returns the powder of this name, capitals aside.
func (b *Book) PowderNamed(ctx context.Context, name string) (p Powder, err error) {
	err = b.view(ctx, func(tx *sql.Tx) error {
		p, err = one[Powder](ctx, tx, "powder", fmt.Sprintf("powder %q", name), "WHERE name = ? COLLATE NOCASE", name)
		return err
	})
	return p, err
}

// Powders returns all powders by name.
func (b *Book) Powders(ctx context.Context) ([]Powder, error) {
	return all[Powder](ctx, b, "powder", "ORDER BY name COLLATE NOCASE")
}
