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
	Weighed     bool    // its grams are in a batch, not to be weighed
}

// Part is one powder of a blend.
type Part struct {
	Powder  string
	Percent float64 // % w/w of the finished product
	Grams   float64 // g in the batch
}

type powderRow struct {
	name, percent, grams string
	style                canvas.Style
}

// Of a table, mm between its columns, and em between its rows.
const (
	tableGap = 1.8
	rowGap   = 0.16
)

// rows are the table: each powder's share of the finished product and its grams,
// the load and the base.
func (b *Blend) rows() []powderRow {
	head := "powder"
	if b.Named {
		head = b.Name
	}
	weigh := "weigh out"
	if b.Weighed {
		weigh = "weighed in"
	}
	rows := []powderRow{{head, "of product", weigh, noteStyle}}
	decimals, total := b.decimals(), 0.0
	add := func(name string, percent, grams float64, s canvas.Style) {
		rows = append(rows, powderRow{name, number(percent, 2) + " %", number(grams, decimals) + " g", s})
	}
	for _, p := range b.Parts {
		add(p.Powder, p.Percent, p.Grams, bodyStyle)
		total += p.Grams
	}
	base := "base"
	if b.Base != "" {
		base += ": " + b.Base
	}
	add("load", b.LoadPercent, total, bodyStyle.Strong())
	add(base, 100-b.LoadPercent, b.BatchGrams-total, bodyStyle)
	return rows
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

// draw lists what to weigh.
func (b *Blend) draw(cv canvas.Canvas, box canvas.Box) canvas.Box {
	rows := b.rows()
	percent, grams := 0.0, 0.0
	for _, r := range rows {
		percent = max(percent, canvas.Width(r.percent, r.style)+0.1)
		if b.BatchGrams > 0 {
			grams = max(grams, tableGap+canvas.Width(r.grams, r.style)+0.1)
		}
	}
	line := bodyStyle.LineHeight()
	for _, r := range rows {
		at := box
		at.H = line
		if grams > 0 {
			canvas.Line(cv, at, r.grams, r.style, canvas.Right)
			at.W -= grams
		}
		canvas.Line(cv, at, r.percent, r.style, canvas.Right)
		at.W -= percent + tableGap
		lines := canvas.Wrap(r.name, r.style, at.W)
		for _, l := range lines {
			canvas.Line(cv, at, l, r.style, canvas.Left)
			at.Y += line
		}
		_, box = box.CutTop(float64(max(1, len(lines)))*line + rowGap*bodyStyle.Size)
	}
	return box
}
