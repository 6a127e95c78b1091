package work

import (
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"

	"tawny/blend/batch"
	"tawny/swatches"
)

// Delivery is the files a job wrote.
type Delivery struct {
	Card  string `json:"card,omitempty"`
	Sheet string `json:"sheet,omitempty"`
	Data  string `json:"data,omitempty"`
}

// Title names a match: what was asked for, or the words given.
func (m *MatchResult) title() string {
	if m.Title != "" {
		return m.Title
	}
	return "Blend for " + m.Skin.Name
}

// Batch scales the blend of a rank (1 is the best).
func (m *MatchResult) Batch(rank int) (*batch.Batch, error) {
	v, err := m.blend(rank)
	if err != nil {
		return nil, err
	}
	return m.setting.batchOf(m.title(), v, m.target)
}

// Card draws the blend of a rank (1 is the best) with the weights of its batch.
func (m *MatchResult) Card(rank int, o CardOptions) (*swatches.Card, error) {
	p, err := m.piece(rank)
	if err != nil {
		return nil, err
	}
	return p.card(o)
}

// piece is the blend of a rank, weighed out.
func (m *MatchResult) piece(rank int) (*piece, error) {
	v, err := m.blend(rank)
	if err != nil {
		return nil, err
	}
	b, err := m.Batch(rank)
	if err != nil {
		return nil, err
	}
	return &piece{m.setting, m.title(), v, m.target, b}, nil
}

func (m *MatchResult) blend(rank int) (*BlendView, error) {
	if rank < 1 || rank > len(m.Blends) {
		return nil, inputf("no blend ranks %d; 1 to %d is accepted", rank, len(m.Blends))
	}
	return &m.Blends[rank-1], nil
}

// Deliver writes the card, the batch sheet and the data of the best blend into
// a folder. All three are made before the first is written.
func (m *MatchResult) Deliver(dir string, o CardOptions) (*Delivery, error) {
	if err := OpenOut(dir); err != nil {
		return nil, err
	}
	c, err := m.Card(1, o)
	if err != nil {
		return nil, err
	}
	b, err := m.Batch(1)
	if err != nil {
		return nil, err
	}
	picture, err := swatches.PNG(c, swatches.Paper{})
	if err != nil {
		return nil, input(fmt.Errorf("card: %w", err))
	}
	d := &Delivery{filepath.Join(dir, "card.png"), filepath.Join(dir, "sheet.txt"), filepath.Join(dir, "match.json")}
	if err := MakeOut(dir); err != nil {
		return nil, err
	}
	return d, WriteFiles(
		OutFile{d.Card, func(w io.Writer) error { _, err := w.Write(picture); return err }},
		OutFile{d.Sheet, func(w io.Writer) error { return batch.Text(w, b) }},
		OutFile{d.Data, func(w io.Writer) error { return WriteJSON(w, m) }},
	)
}

// WriteJSON writes a result, indented, at full precision.
func WriteJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}
