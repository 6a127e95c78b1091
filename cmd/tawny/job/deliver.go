package job

import (
	"fmt"
	"io"

	"tawny/swatches"
)

// deliver makes the card, the batch sheet and the data of the best blend.
func (m *MatchResult) deliver(env *Env, o CardOptions) error {
	best, err := m.one(1)
	if err != nil {
		return err
	}
	if err := best.deliver(env, "card", "sheet", "text", o); err != nil {
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

// deliver makes the card and the batch sheet of a blend.
func (r *BlendResult) deliver(env *Env, card, sheet, format string, o CardOptions) error {
	c, err := r.Card(o)
	if err != nil {
		return err
	}
	b, err := r.Batch()
	if err != nil {
		return err
	}
	pages, paper := (&picture{}).on(c)
	if err := env.drawn(card, "png", paper, pages...); err != nil {
		return err
	}
	return env.deliver(sheet+"."+sheetEndings[format], func(w io.Writer) error { return WriteSheet(w, b, format, c, false) })
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
