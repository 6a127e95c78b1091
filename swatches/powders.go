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
	style   canvas.Style
	height  float64
	broken  bool // a word had to be broken
}

type powderRow struct {
	name           []string
	percent, grams string
	style          canvas.Style
}

const tableGap = 1.8 // mm between columns

// setPowders breaks the names over lines at the given size.
func (c *Card) setPowders(width float64, st canvas.Style) powderTable {
	b := &c.Blend
	decimals := b.decimals()
	small, strong := st.Sized(st.Size*noteText/bodyText).In(softInk), st.Strong()
	t := powderTable{style: st}
	names := []string{"powder"}
	add := func(percent, grams float64, s canvas.Style) {
		r := powderRow{percent: number(percent, 2) + " %", style: s}
		if b.BatchGrams > 0 {
			r.grams = number(grams, decimals) + " g"
		}
		t.rows = append(t.rows, r)
	}
	t.rows = append(t.rows, powderRow{percent: "of product", style: small})
	if b.BatchGrams > 0 {
		t.rows[0].grams = "weigh out"
	}
	total := 0.0
	for _, p := range b.Parts {
		names = append(names, p.Powder)
		add(p.Percent, p.Grams, st)
		total += p.Grams
	}
	base := "base"
	if b.Base != "" {
		base += ": " + b.Base
	}
	names = append(names, "load", base)
	add(b.LoadPercent, total, strong)
	add(100-b.LoadPercent, b.BatchGrams-total, st)

	for _, r := range t.rows {
		t.percent = max(t.percent, canvas.Width(r.percent, r.style)+0.1)
		if r.grams != "" {
			t.grams = max(t.grams, canvas.Width(r.grams, r.style)+0.1)
		}
	}
	room := width - t.percent - tableGap
	if t.grams > 0 {
		room -= t.grams + tableGap
	}
	for i := range t.rows {
		r := &t.rows[i]
		r.name = canvas.Wrap(names[i], r.style, room)
		for _, word := range strings.Fields(names[i]) {
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
	return float64(max(1, len(r.name)))*st.LineHeight() + rowGap*st.Size
}

const rowGap = 0.16 // em between rows

// powdersHeight is the height the powders take at body size.
func (c *Card) powdersHeight(width float64) float64 {
	return c.setPowders(width, bodyStyle).height + 3
}

// tableTop is the room between a table's rule and its first row, mm.
const tableTop = 1.5

// fitPowders makes the text smaller until the table fits the box, and a little
// smaller than that where it saves breaking a word.
func (c *Card) fitPowders(b canvas.Box, st canvas.Style) canvas.Style {
	for st.Size > 1 {
		t := c.setPowders(b.W, st)
		if t.height <= b.H-tableTop && !(t.broken && st.Size > 0.7*bodyText) {
			break
		}
		st.Size *= 0.97
	}
	return st
}

// drawPowdersAt lists what to weigh: each powder's share of the finished
// product and its grams, the load and the base.
func (c *Card) drawPowdersAt(cv canvas.Canvas, b canvas.Box, st canvas.Style) {
	rule(cv, b)
	_, b = b.CutTop(tableTop)
	t := c.setPowders(b.W, st)
	for _, r := range t.rows {
		var row canvas.Box
		row, b = b.CutTop(r.height(st))
		row.H = st.LineHeight()
		grams, left := row.CutRight(t.grams)
		if t.grams > 0 {
			canvas.Line(cv, grams, r.grams, r.style, canvas.Right)
			left.W -= tableGap
		}
		percent, _ := left.CutRight(t.percent)
		canvas.Line(cv, percent, r.percent, r.style, canvas.Right)
		for _, l := range r.name {
			canvas.Line(cv, canvas.Box{X: row.X, Y: row.Y, W: canvas.Width(l, r.style) + 0.1, H: row.H}, l, r.style, canvas.Left)
			row.Y += st.LineHeight()
		}
	}
}

func rule(cv canvas.Canvas, b canvas.Box) {
	cv.Fill(canvas.Box{X: b.X, Y: b.Y, W: b.W, H: 0.2}, hairline)
}
