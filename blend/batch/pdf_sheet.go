package batch

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"codeberg.org/go-pdf/fpdf"
)

// bench sets the side a maker works from: heading, weights, what to have
// ready, the steps, and as many of the closing sections as there is room for;
// it returns how many those are.
func (p *printer) bench(b *Batch, swatch []byte) int {
	p.side = "bench"
	p.page()
	y := p.masthead(b, swatch)
	for _, f := range b.Checkable() {
		y = p.alert(f, y)
	}
	wide := (p.width - 2*pageMargin - 5) * 0.63
	narrow := p.width - 2*pageMargin - 5 - wide
	left := append(p.heading("WEIGHTS", wide), p.weightRows(b, wide)...)
	right := append(p.heading("BEFORE YOU START", narrow), p.readyRows(b, narrow)...)
	y = max(p.stack(left, pageMargin, y), p.stack(right, pageMargin+wide+5, y)) + 1
	if y > p.height-pageMargin-30 { // no room for a step under the table
		p.page()
		y = pageMargin
	}
	full := p.width - 2*pageMargin
	y = p.stack(p.heading("STEPS", full), pageMargin, y)
	f := p.newFlow(3, 4.5, y)
	for _, s := range b.Steps {
		f.add(block{p.stepRows(b, s, f.width()), 1.1})
	}
	placed := 0
	for _, section := range p.closing(b, f.width()) {
		blocks := p.paragraphs(section, f.width())
		if !f.fits(blocks...) {
			break
		}
		for _, one := range blocks {
			f.pour(one)
		}
		placed++
	}
	return placed
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

func (p *printer) masthead(b *Batch, swatch []byte) float64 {
	room := p.width - 2*pageMargin
	bottom := pageMargin
	if swatch != nil {
		const w = 38.0
		o := fpdf.ImageOptions{ImageType: "PNG"}
		info := p.f.RegisterImageOptionsReader("swatch", o, bytes.NewReader(swatch))
		if info != nil && info.Width() > 0 {
			h := w * info.Height() / info.Width()
			p.f.ImageOptions("swatch", p.width-pageMargin-w, pageMargin, w, h, false, o, 0, "")
			bottom += h + 1
			room -= w + 4
		}
	}
	y := p.stack(p.words(title, b.Heading(), room, 0), pageMargin, pageMargin)
	line := fmt.Sprintf("Batch code %s   made on %s   by %s", blank(b.Code, 14), blank(b.Date, 14), strings.Repeat("_", 14))
	y = p.stack(p.words(plain, line, room, 0), pageMargin, y) + 0.6
	for _, f := range b.Facts() {
		in := 18.0
		rows := p.words(plain, f.Value, room, in)
		first := rows[0].draw
		rows[0].draw = func(x, y float64) { p.text(faint, x, y, f.Name); first(x, y) }
		y = p.stack(rows, pageMargin, y)
	}
	return max(y, bottom) + 0.6
}

// alert is a boxed finding.
func (p *printer) alert(f Finding, y float64) float64 {
	full := p.width - 2*pageMargin
	rows := p.words(plain, strings.ToUpper(string(f.Severity))+": "+f.Text+" ("+f.Source+")", full-4, 0)
	h := block{rows: rows}.height() + 1.4
	p.f.SetDrawColor(ink[0], ink[1], ink[2])
	p.f.SetLineWidth(0.5)
	p.f.Rect(pageMargin, y, full, h, "D")
	p.stack(rows, pageMargin+2, y+0.7)
	return y + h + 0.8
}

// weightRows is the table of weights with its notes.
func (p *printer) weightRows(b *Batch, w float64) []row {
	phaseX, nameX := p.tickRoom()+0.5, p.tickRoom()+14.0
	lotX := w - 15
	gX := lotX - 2
	pctX := gX - 16
	right := func(s style, x, y float64, text string) { p.text(s, x-p.measure(s, text), y, text) }
	h := p.lead(plain)
	out := []row{{p.lead(small), func(x, y float64) {
		p.text(small, x+phaseX, y, "phase")
		p.text(small, x+nameX, y, "ingredient")
		right(small, x+pctX, y, "% w/w")
		right(small, x+gX, y, "g")
		p.text(small, x+lotX, y, "lot")
	}}}
	for _, l := range b.Weighings {
		name := l.Name
		if l.Filler {
			name += " *"
		}
		lines := p.wrap(plain, name, pctX-nameX-14)
		for i, part := range lines {
			out = append(out, row{h + 0.5, func(x, y float64) {
				p.text(plain, x+nameX, y+0.25, part)
				if i > 0 {
					return
				}
				p.line(rule, x, y, x+lotX-1, y, 0.15)
				p.tick(x, y+0.25)
				p.text(plain, x+phaseX, y+0.25, string(l.Phase))
				right(plain, x+pctX, y+0.25, percentText(l.Weighed))
				right(bold, x+gX, y+0.25, b.Format(l.Steps))
				if l.Lot != "" {
					p.text(plain, x+lotX, y+0.25, l.Lot)
				} else {
					p.line(soft, x+lotX, y+h, x+w, y+h, 0.15)
				}
			}})
		}
		if l.Note != "" {
			out = append(out, p.words(small, l.Note, w, nameX)...)
		}
	}
	out = append(out, row{h + 0.8, func(x, y float64) {
		p.line(ink, x, y, x+w, y, 0.4)
		p.text(bold, x+nameX, y+0.4, "total")
		right(bold, x+pctX, y+0.4, "100")
		right(bold, x+gX, y+0.4, b.Format(b.TotalSteps))
	}})
	for _, l := range b.Weighings {
		if l.Filler {
			out = append(out, p.words(small, "* "+l.Name+" gives way to the powders and other additions.", w, 0)...)
		}
	}
	for _, m := range b.Premixes {
		out = append(out, p.words(small, "Premix: "+m.String(), w, 0)...)
	}
	for _, n := range b.Notes {
		out = append(out, p.words(small, n, w, 0)...)
	}
	return out
}

func (p *printer) readyRows(b *Batch, w float64) []row {
	var out []row
	for _, v := range b.Vessels {
		out = append(out, p.marked("", plain, v.String(), w)...)
	}
	for _, c := range b.CautionsFor(WhenBuying, WhenMaking) {
		out = append(out, p.marked("!", plain, c.Text, w)...)
	}
	return out
}

func (p *printer) stepRows(b *Batch, s Step, w float64) []row {
	in := p.tickRoom()
	name := fmt.Sprintf("%d. %s", s.Number, s.Title)
	out := p.marked("", bold, name, w)
	if t := s.when(); t != "" {
		at := in + p.measure(bold, name+"  ")
		if len(out) == 1 && at+p.measure(faint, t) <= w {
			title := out[0].draw
			out[0].draw = func(x, y float64) { title(x, y); p.text(faint, x+at, y, t) }
		} else {
			out = append(out, p.words(faint, t, w, in)...)
		}
	}
	out = append(out, p.words(plain, strings.Join(s.Do, " "), w, in)...)
	for _, sw := range s.Weights {
		grams := b.Format(sw.Steps) + " g"
		name := sw.Name
		if sw.Part != "" {
			name += ", " + sw.Part
		}
		room := w - 2*in - p.measure(bold, grams) - 1.5
		for i, part := range p.wrap(plain, name, room) {
			out = append(out, row{p.lead(plain) + 0.3, func(x, y float64) {
				p.text(plain, x+2*in, y, part)
				if i > 0 {
					return
				}
				p.tick(x+in, y)
				p.text(bold, x+w-p.measure(bold, grams), y, grams)
			}})
		}
	}
	for _, r := range s.Readings {
		out = append(out, p.words(plain, strings.TrimSpace(r.What+" _______ "+r.Unit), w, in)...)
	}
	return out
}

// closing are the sections that follow the steps, wrapped to w.
func (p *printer) closing(b *Batch, w float64) []closing {
	fill := closing{"Filling", [][]row{p.words(plain, b.Filling.String(), w, 0)}}
	if s := b.Suspension; s != nil {
		fill.parts = append(fill.parts, p.words(plain, s.Text, w, 0))
		for _, r := range s.Remedies {
			fill.parts = append(fill.parts, p.marked("·", plain, r, w))
		}
	}
	for _, fact := range b.Powders {
		fill.parts = append(fill.parts, p.marked("·", plain, fact.String(), w))
	}
	wear := closing{name: "Wearing and selling"}
	for _, c := range b.CautionsFor(WhenFilling, WhenSelling, WhenWearing) {
		wear.parts = append(wear.parts, p.marked("!", plain, c.Text, w))
	}
	for _, a := range b.Advice() {
		wear.parts = append(wear.parts, p.marked("·", plain, a.Text+" ("+a.Source+")", w))
	}
	return []closing{fill, wear}
}

// closing is a section by paragraphs.
type closing struct {
	name  string
	parts [][]row
}

// paragraphs are the blocks of a section; its heading stays with the first.
func (p *printer) paragraphs(c closing, w float64) []block {
	out := make([]block, len(c.parts))
	for i, rows := range c.parts {
		if i == 0 {
			rows = append(p.heading(strings.ToUpper(c.name), w), rows...)
		}
		out[i] = block{rows: rows}
	}
	out[len(out)-1].gap = 0.8
	return out
}

// after sets what comes once the batch is made, less the closing sections the
// bench side has already.
func (p *printer) after(b *Batch, placed int) {
	p.side = "label and log"
	p.page()
	full := p.width - 2*pageMargin
	f := p.newFlow(1, 0, pageMargin)
	section := func(name string, rows []row) {
		f.add(block{append(p.heading(strings.ToUpper(name), full), rows...), 0.8})
	}
	for _, c := range p.closing(b, full)[placed:] {
		section(c.name, slices.Concat(c.parts...))
	}
	var rows []row
	for _, m := range b.Label.Markets() {
		rows = p.words(bold, m.Text.Product+"   "+m.Text.Net, full, 0)
		rows = append(rows, p.words(plain, m.Text.Ingredients, full, 0)...)
		for _, l := range m.Text.Lines {
			rows = append(rows, p.words(plain, l, full, 0)...)
		}
		rows = append(rows, p.words(plain, strings.Join(m.Text.Cautions, " "), full, 0)...)
		for _, n := range m.Text.Notes {
			rows = append(rows, p.words(small, "Not printed: "+n, full, 0)...)
		}
		section("Label, "+m.Name+" ("+m.Text.Source+")", rows)
	}
	if c := b.Cost; c != nil {
		rows = nil
		for _, fact := range c.Facts() {
			rows = append(rows, p.words(plain, fact.Name+": "+fact.Value, full, 0)...)
		}
		section("Cost "+c.Currency, rows)
	}
	section("Stability log", p.logRows(b, full))
}

func (p *printer) logRows(b *Batch, w float64) []row {
	out := p.words(small, Keep, w, 0)
	looks := b.Log[0].Looks
	cell := (w - 45) / float64(len(looks))
	out = append(out, row{p.lead(small), func(x, y float64) {
		p.text(small, x, y, "day")
		p.text(small, x+12, y, "place")
		for i, l := range looks {
			p.text(small, x+45+float64(i)*cell, y, l)
		}
	}})
	for _, r := range b.Log {
		out = append(out, row{5.4, func(x, y float64) {
			p.text(plain, x, y+0.6, fmt.Sprint(r.Day))
			p.text(plain, x+12, y+0.6, r.Place)
			p.line(rule, x, y+5.2, x+w, y+5.2, 0.2)
			for i := range looks {
				p.line(rule, x+44+float64(i)*cell, y, x+44+float64(i)*cell, y+5.2, 0.2)
			}
		}})
	}
	return out
}
