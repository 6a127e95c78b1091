package job

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"time"

	"tawny/colour/canvas"
	"tawny/colour/parallel"
	"tawny/swatches"
)

// deliver makes the card and the batch sheet of the best blend, and the match's data.
func (m *MatchResult) deliver(env *Env, best *BlendResult, o CardOptions) error {
	if err := best.deliver(env, "card", "sheet", "text", o); err != nil {
		return err
	}
	// Their jars at once, for the data asks for one after another.
	all := slices.Concat(m.Blends, m.Front)
	parallel.For(env.Workers, len(all), func(i int) {
		if jars := all[i].Jars; jars != nil {
			jars.list() // a fault is told where they are written
		}
	})
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
	b, err := r.Batch()
	if err != nil {
		return err
	}
	var c *swatches.Card
	if !r.setting.weighOnly { // there is a skin to draw it on
		if c, err = r.Card(o); err != nil {
			return err
		}
		pages, paper := (&picture{}).on(env, c)
		if err := env.drawn(card, "png", paper, pages...); err != nil {
			return err
		}
	}
	return env.deliver(sheet+"."+sheetEndings[format], func(w io.Writer) error { return WriteSheet(w, b, format, c, false) })
}

// drawn delivers pages as name.png, name-2.png and so on, or all in name.pdf, and
// warns of letters that could not be drawn.
func (e *Env) drawn(name, format string, paper swatches.Paper, pages ...swatches.Drawing) error {
	if !e.Sends {
		return nil
	}
	files := make([]File, len(pages))
	missing, errs := make([]canvas.Missing, len(pages)), make([]error, len(pages))
	if stopped := e.unlessStopped(func() {
		if format == "pdf" {
			// To the day, as it is printed, so that a drawing made again is the same file.
			day := e.Now().UTC().Truncate(24 * time.Hour)
			files = []File{{Name: name + ".pdf"}}
			files[0].Data, missing[0], errs[0] = swatches.PDF(paper, orElse(swatches.TitleOf(pages[0]), name), day, pages...)
			return
		}
		parallel.For(e.Workers, len(pages), func(i int) {
			files[i].Name = name + ".png"
			if i > 0 {
				files[i].Name = fmt.Sprintf("%s-%d.png", name, i+1)
			}
			files[i].Data, missing[i], errs[i] = swatches.PNG(pages[i], paper)
		})
	}); stopped != nil {
		return stopped
	}
	if err := cmp.Or(errs...); err != nil {
		return input(err)
	}
	e.Delivered = append(e.Delivered, files...)
	if lacking := slices.Concat(missing...); len(lacking) > 0 {
		slices.Sort(lacking)
		list := listed(slices.Compact(lacking), ", ", func(r rune) string { return fmt.Sprintf("%c (U+%04X)", r, r) })
		e.warn(fmt.Sprintf("no font here has %s; the nearest letter is drawn, a sign left out, or a line left to write on", list))
	}
	return nil
}
