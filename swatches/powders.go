package swatches

import (
	"math"
	"strings"

	"tawny/colour/canvas"
)

// powderTable is the powders set out in rows at one text size.
type powderTable struct {
	rows    []powderRow
	percent float64 // width of the column, mm
	grams   float64
	height  float64
	broken  bool // a word had to be broken
}

type powderRow struct {
	name, percent, grams string
	lines                []string // the name, wrapped
	style                canvas.Style
}

const tableGap = 1.8 // mm between columns

// table breaks the names over lines at the given size.
func (b *Blend) table(width float64, st canvas.Style) (t powderTable) {
	decimals := b.decimals()
	add := func(name string, percent, grams float64, s canvas.Style) {
		t.rows = append(t.rows, powderRow{name: name, percent: number(percent, 2) + " %", grams: number(grams, decimals) + " g", style: s})
	}
	t.rows = []powderRow{{name: "powder", percent: "of product", grams: "weigh out", style: st.Sized(st.Size * noteText / bodyText).In(softInk)}}
	total := 0.0
	for _, p := range b.Parts {
		add(p.Powder, p.Percent, p.Grams, st)
		total += p.Grams
	}
	base := "base"
	if b.Base != "" {
		base += ": " + b.Base
	}
	add("load", b.LoadPercent, total, st.Strong())
	add(base, 100-b.LoadPercent, b.BatchGrams-total, st)

	for _, r := range t.rows {
		t.percent = max(t.percent, canvas.Width(r.percent, r.style)+0.1)
		if b.BatchGrams > 0 {
			t.grams = max(t.grams, canvas.Width(r.grams, r.style)+0.1)
		}
	}
	room := width - t.percent - tableGap
	if t.grams > 0 {
		room -= t.grams + tableGap
	}
	for i := range t.rows {
		r := &t.rows[i]
		r.lines = canvas.Wrap(r.name, r.style, room)
		for _, word := range strings.Fields(r.name) {
			t.broken = t.broken || canvas.Width(word, r.style) > room
		}
		t.height += r.height(st)
	}
	return t
}

// decimals of the grams: the balance's, or as many as show every weight to a
// hundredth.
func (b *Blend) decimals() int {
	if b.Decimals > 0 {
		return min(b.Decimals, 4)
	}
	need := 0
	see := func(grams float64) {
		for need < 2 && math.Abs(grams*math.Pow10(need)-math.Round(grams*math.Pow10(need))) > 1e-6 {
			need++
		}
	}
	for _, p := range b.Parts {
		see(p.Grams)
	}
	see(b.BatchGrams)
	return need
}

// height is the room a row takes in a table set in st, mm.
func (r *powderRow) height(st canvas.Style) float64 {
	return float64(max(1, len(r.lines)))*st.LineHeight() + rowGap*st.Size
}

const rowGap = 0.16 // em between rows

// height is what the powders take at body size, mm.
func (b *Blend) height(width float64) float64 { return b.table(width, bodyStyle).height + 3 }

// fit makes the text smaller until the table fits the box, and a little
// smaller than that where it saves breaking a word.
func (b *Blend) fit(box canvas.Box, st canvas.Style) canvas.Style {
	for st.Size > 1 {
		t := b.table(box.W, st)
		if t.height <= box.H-ruleGap && !(t.broken && st.Size > 0.7*bodyText) {
			break
		}
		st.Size *= 0.97
	}
	return st
}

// draw lists what to weigh: each powder's share of the finished product and
// its grams, the load and the base.
func (b *Blend) draw(cv canvas.Canvas, box canvas.Box, st canvas.Style) {
	box = rule(cv, box)
	t := b.table(box.W, st)
	for _, r := range t.rows {
		var row canvas.Box
		row, box = box.CutTop(r.height(st))
		row.H = st.LineHeight()
		grams, left := row.CutRight(t.grams)
		if t.grams > 0 {
			canvas.Line(cv, grams, r.grams, r.style, canvas.Right)
			left.W -= tableGap
		}
		percent, _ := left.CutRight(t.percent)
		canvas.Line(cv, percent, r.percent, r.style, canvas.Right)
		for _, l := range r.lines {
			canvas.Line(cv, canvas.Box{X: row.X, Y: row.Y, W: canvas.Width(l, r.style) + 0.1, H: row.H}, l, r.style, canvas.Left)
			row.Y += st.LineHeight()
		}
	}
}
