package swatches

import (
	"math"

	"tawny/colour/canvas"
)

// Blend is what goes into the jar.
type Blend struct {
	Name        string
	Parts       []Part
	LoadPercent float64 // all powders, % w/w of the product
	Base        string
	BatchGrams  float64 // finished product, g; 0 hides grams
	Decimals    int     // decimals of grams, from the balance; 0 means as many as the weights need, up to 2
	Named       bool    // its name stands over it
}

// Part is one powder of a blend.
type Part struct {
	Powder  string
	Percent float64 // % w/w of the finished product
	Grams   float64 // g in the batch
}

// powderTable is the powders set out in rows.
type powderTable struct {
	rows    []powderRow
	percent float64 // width of the column, mm
	grams   float64
	rowsH   float64 // height of the rows, mm
}

type powderRow struct {
	name, percent, grams string
	lines                []string // the name, wrapped
	style                canvas.Style
}

const tableGap = 1.8 // mm between columns

// table breaks the names over lines.
func (b *Blend) table(width float64) (t powderTable) {
	st := bodyStyle
	decimals := b.decimals()
	add := func(name string, percent, grams float64, s canvas.Style) {
		t.rows = append(t.rows, powderRow{name: name, percent: number(percent, 2) + " %", grams: number(grams, decimals) + " g", style: s})
	}
	head := "powder"
	if b.Named {
		head = b.Name
	}
	t.rows = []powderRow{{name: head, percent: "of product", grams: "weigh out", style: noteStyle}}
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
		t.rowsH += r.height(st)
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

func (b *Blend) height(width float64) float64 { return b.table(width).rowsH }

// draw lists what to weigh: each powder's share of the finished product and
// its grams, the load and the base.
func (b *Blend) draw(cv canvas.Canvas, box canvas.Box) {
	st := bodyStyle
	t := b.table(box.W)
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
