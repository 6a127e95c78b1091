package batch

import "tawny/colour/canvas"

// columnGap is between two columns of a page, mm.
const columnGap = 5

// bench sets the side a maker works from: heading, weights, what to have
// ready, the steps, and as many of the closing sections as there is room for;
// it returns how many those are.
func (p *printer) bench(s *sheet, swatch *canvas.Raster) int {
	p.side = "bench"
	p.page()
	y := p.masthead(s, swatch)
	for _, f := range s.Stops {
		y = p.alert(f, y)
	}
	full := p.width - 2*pageMargin
	wide := (full - columnGap) * 0.63
	left := p.stack(p.section(s.Weights, wide), pageMargin, y)
	right := p.stack(p.section(s.Before, full-columnGap-wide), pageMargin+wide+columnGap, y)
	if y = max(left, right) + 1; y > p.height-pageMargin-30 { // no room for a step under the table
		p.page()
		y = pageMargin
	}
	y = p.stack(p.heading(s.Steps.Name, full), pageMargin, y)
	f := &flow{p: p, n: 3, top: y, y: y}
	for _, b := range s.Steps.Blocks {
		f.add(chunk{p.rows(b, f.width()), 1.1})
	}
	for placed, one := range s.Closing {
		chunks := p.paragraphs(one, f.width())
		if !f.fits(chunks...) {
			return placed
		}
		for _, c := range chunks {
			f.lay(c, true)
		}
	}
	return len(s.Closing)
}

// after sets what comes once the batch is made, less the closing sections the
// bench side has already.
func (p *printer) after(s *sheet, placed int) {
	p.side = "label and log"
	p.page()
	f := &flow{p: p, n: 1, top: pageMargin, y: pageMargin}
	sections := s.sections()
	for _, one := range sections[len(sections)-len(s.Records)-len(s.Labels)-len(s.Closing)+placed:] {
		f.add(chunk{p.section(one, f.width()), 0.8})
	}
}

// stack draws rows one under the other, going on to a new page at the foot,
// and returns where they end.
func (p *printer) stack(rows []row, x, y float64) float64 {
	for _, r := range rows {
		if y+r.h > p.height-pageMargin {
			p.page()
			y = pageMargin
		}
		r.draw(x, y)
		y += r.h
	}
	return y
}

func (p *printer) masthead(s *sheet, swatch *canvas.Raster) float64 {
	room := p.width - 2*pageMargin
	bottom := pageMargin
	if swatch != nil {
		const w = 38.0
		h := w * float64(swatch.Pix.Rect.Dy()) / float64(swatch.Pix.Rect.Dx())
		p.doc.Image(canvas.Box{X: p.width - pageMargin - w, Y: pageMargin, W: w, H: h}, swatch.Pix)
		bottom += h + 1
		room -= w + 4
	}
	y := p.stack(p.words(title, s.Heading, room, 0), pageMargin, pageMargin)
	y = p.stack(p.words(plain, s.Made, room, 0), pageMargin, y) + 0.6
	y = p.stack(p.facts(s.Facts, room), pageMargin, y)
	return max(y, bottom) + 0.6
}

// alert is a boxed finding.
func (p *printer) alert(f Fact, y float64) float64 {
	full := p.width - 2*pageMargin
	rows := p.words(plain, f.Name+": "+f.Value, full-4, 0)
	h := chunk{rows: rows}.height() + 1.4
	canvas.Frame(p.doc, canvas.Box{X: pageMargin, Y: y, W: full, H: h}, 0.5, ink)
	p.stack(rows, pageMargin+2, y+0.7)
	return y + h + 0.8
}

// section is a heading and its blocks, wrapped to w.
func (p *printer) section(s section, w float64) []row {
	out := p.heading(s.Name, w)
	for _, b := range s.Blocks {
		out = append(out, p.rows(b, w)...)
	}
	return out
}

// paragraphs are the blocks of a section apart; its heading stays with the
// first.
func (p *printer) paragraphs(s section, w float64) []chunk {
	out := make([]chunk, len(s.Blocks))
	for i, b := range s.Blocks {
		if i == 0 {
			out[i].rows = p.heading(s.Name, w)
		}
		out[i].rows = append(out[i].rows, p.rows(b, w)...)
	}
	out[len(out)-1].gap = 0.8
	return out
}

// rows are a block's, wrapped to w.
func (p *printer) rows(b block, w float64) []row {
	look := plain
	switch {
	case b.Table != nil:
		return p.table(b.Table, w)
	case b.Facts != nil:
		return p.facts(b.Facts, w)
	case b.Strong:
		look = bold
	case b.Soft:
		look = small
	}
	in, valueWidth := 0.0, 0.0
	if b.Mark != "" {
		in = p.tickRoom()
	}
	if b.Value != "" {
		valueWidth = p.measure(bold, b.Value) + 1.5
	}
	out := p.words(look, b.Text, w-valueWidth, in)
	out[0] = out[0].with(func(x, y float64) {
		switch b.Mark {
		case "":
		case tick, done:
			p.tick(x, y, b.Mark == done)
		default:
			p.text(alarm, x, y, b.Mark)
		}
		if b.Value != "" {
			p.text(bold, x+w+1.5-valueWidth, y, b.Value)
		}
	})
	for _, u := range b.Under {
		for _, r := range p.rows(u, w-in) {
			out = append(out, row{r.h, func(x, y float64) { r.draw(x+in, y) }})
		}
	}
	return out
}

func (p *printer) facts(facts []Fact, w float64) []row {
	in := 0.0
	for _, f := range facts {
		in = max(in, p.measure(faint, f.Name)+2)
	}
	var out []row
	for _, f := range facts {
		rows := p.words(plain, f.Value, w, in)
		rows[0] = rows[0].with(func(x, y float64) { p.text(faint, x, y, f.Name) })
		out = append(out, rows...)
	}
	return out
}

// table sets a grid. Rows without a box to tick are high enough to write in.
func (p *printer) table(t *grid, w float64) []row {
	lead, h := 0.0, p.lead(plain)+1.6
	if t.Tick {
		lead, h = p.tickRoom()+0.5, p.lead(plain)+0.5
	}
	letter := p.size * mmPerPoint * 0.55 // a middling one's width
	gap := letter
	var widths []float64
	for _, n := range t.widths(int((w-lead)/letter), 1) {
		widths = append(widths, float64(n)*letter)
	}
	// set draws a row's cells, one line of each.
	set := func(look style, cells []string, x, y float64) {
		x += lead
		for i, c := range t.Columns {
			s, at := look, x
			if c.Strong && look == plain {
				s = bold
			}
			if c.Right {
				at += widths[i] - p.measure(s, cells[i])
			}
			p.text(s, at, y, cells[i])
			x += widths[i] + gap
		}
	}
	out := []row{{p.lead(small), func(x, y float64) { set(small, t.names(), x, y) }}}
	for _, r := range t.Rows {
		for n, cells := range t.lines(r.Cells, func(i int, text string) []string { return p.wrap(plain, text, widths[i]) }) {
			out = append(out, row{h, func(x, y float64) {
				if r.Total {
					p.line(ink, x, y, x+w, y, 0.4)
					set(bold, cells, x, y+0.4)
					return
				}
				set(plain, cells, x, y+0.25)
				if n > 0 {
					return
				}
				p.line(rule, x, y, x+w, y, 0.15)
				if t.Tick {
					p.tick(x, y+0.25, r.Done)
				}
				at := x + lead
				for i, c := range t.Columns {
					if c.Write && r.Cells[i] == "" {
						p.line(soft, at, y+p.lead(plain), at+widths[i], y+p.lead(plain), 0.15)
					}
					at += widths[i] + gap
				}
			}})
		}
		if r.Note != "" {
			out = append(out, p.words(small, r.Note, w, lead+widths[0]+gap)...)
		}
	}
	return out
}
