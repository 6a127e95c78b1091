package job

import (
	"fmt"
	"io"

	"tawny/blend/batch"
	"tawny/swatches"
)

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

// deliver makes the card, the batch sheet and the data of the best blend.
func (m *MatchResult) deliver(env *Env, o CardOptions) error {
	c, err := m.Card(1, o)
	if err != nil {
		return err
	}
	b, err := m.Batch(1)
	if err != nil {
		return err
	}
	if err := env.drawn("card", "png", swatches.Paper{}, c); err != nil {
		return err
	}
	if err := env.deliver("sheet.txt", func(w io.Writer) error { return batch.Text(w, b) }); err != nil {
		return err
	}
	return env.deliver("match.json", func(w io.Writer) error {
		data, err := Answer(env.doc, m)
		if err == nil {
			_, err = w.Write(append(data, '\n'))
		}
		return err
	})
}

// drawn delivers pages as name.png, name-2.png and so on, or all in name.pdf.
// A page that does not fit is the asker's fault.
func (e *Env) drawn(name, format string, paper swatches.Paper, pages ...swatches.Drawing) error {
	for _, d := range pages {
		if err := d.Check(); err != nil {
			return input(err)
		}
	}
	if format == "pdf" {
		return e.deliver(name+".pdf", func(w io.Writer) error {
			data, err := swatches.PDF(paper, orElse(swatches.TitleOf(pages[0]), name), e.Now(), pages...)
			if err == nil {
				_, err = w.Write(data)
			}
			return err
		})
	}
	for i, d := range pages {
		page := name + ".png"
		if i > 0 {
			page = fmt.Sprintf("%s-%d.png", name, i+1)
		}
		err := e.deliver(page, func(w io.Writer) error {
			data, err := swatches.PNG(d, paper)
			if err == nil {
				_, err = w.Write(data)
			}
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}
