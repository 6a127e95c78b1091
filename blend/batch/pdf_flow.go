package batch

import "strings"

// row is one line of a block: its height and how to draw it.
type row struct {
	h    float64
	draw func(x, y float64)
}

// with is the row with more drawn on it.
func (r row) with(draw func(x, y float64)) row {
	return row{r.h, func(x, y float64) { draw(x, y); r.draw(x, y) }}
}

// chunk is rows that belong together; it is split only where it is taller
// than a column.
type chunk struct {
	rows []row
	gap  float64 // after it, mm
}

func (b chunk) height() float64 {
	h := 0.0
	for _, r := range b.rows {
		h += r.h
	}
	return h
}

// flow sets blocks into columns, page after page.
type flow struct {
	p   *printer
	n   int     // columns
	top float64 // of the columns on this page
	col int
	y   float64
}

// width of one column.
func (f *flow) width() float64 {
	return (f.p.width - 2*pageMargin - float64(f.n-1)*columnGap) / float64(f.n)
}

func (f *flow) x() float64 { return pageMargin + float64(f.col)*(f.width()+columnGap) }

func (f *flow) bottom() float64 { return f.p.height - pageMargin }

// next moves to the next column, on a new page after the last.
func (f *flow) next() {
	f.col++
	if f.col == f.n {
		f.p.page()
		f.col, f.top = 0, pageMargin
	}
	f.y = f.top
}

// add sets one chunk whole, in the next column that holds it where it is no
// taller than a page.
func (f *flow) add(c chunk) {
	if h := c.height(); f.y+h > f.bottom() && f.y > f.top && h <= f.bottom()-pageMargin {
		f.next()
		for f.y+h > f.bottom() && f.top > pageMargin { // too tall for what is left of this page
			f.next()
		}
	}
	f.lay(c, true)
}

// fits reports whether chunks can be laid without a new page.
func (f *flow) fits(chunks ...chunk) bool {
	try := *f
	for _, c := range chunks {
		if !try.lay(c, false) {
			return false
		}
	}
	return true
}

// lay sets a chunk row by row, on into the next column where it must, or, where it
// is not to be drawn, only tries to on this page.
func (f *flow) lay(c chunk, draw bool) bool {
	for i, r := range c.rows {
		if f.turns(c, i) {
			if !draw && f.col+1 == f.n {
				return false
			}
			f.next()
		}
		if draw {
			r.draw(f.x(), f.y)
		}
		f.y += r.h
	}
	f.y += c.gap
	return true
}

// turns reports whether a block's row i starts a new column: where it does
// not fit, or is the first and would stand with less than two after it.
func (f *flow) turns(b chunk, i int) bool {
	h := b.rows[i].h
	if i == 0 {
		h = chunk{rows: b.rows[:min(3, len(b.rows))]}.height()
	}
	return f.y+h > f.bottom() && f.y > f.top
}

// The rows blocks are made of.

// words is a paragraph, wrapped to w, indented by in.
func (p *printer) words(s style, text string, w, in float64) []row {
	var out []row
	for _, l := range p.wrap(s, text, w-in) {
		out = append(out, row{p.lead(s), func(x, y float64) { p.text(s, x+in, y, l) }})
	}
	return out
}

// heading is a section's, over a hairline.
func (p *printer) heading(text string, w float64) []row {
	h := p.lead(head)
	return []row{{h + 1.6, func(x, y float64) {
		p.text(head, x, y+0.8, strings.ToUpper(text))
		p.line(rule, x, y+0.8+h, x+w, y+0.8+h, 0.2)
	}}}
}
