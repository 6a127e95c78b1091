package swatches

import (
	"tawny/colour"
	"tawny/colour/canvas"
)

// label is what stands under one colour of the ribbon.
type label struct {
	name    string
	matched bool
	lines   []string
	verdict string // in words, wrapped
}

func (c *Card) labels() []label {
	name := c.Skin.Name
	if name == "" {
		name = "bare skin"
	}
	all := []label{{name: name, lines: append([]string{"no product"}, numbers(c.Skin.Lab, c.crowded())...), verdict: c.inGamutWords(c.Skin.Lab)}}
	for i, v := range c.Coverages {
		l := label{name: v.Name, matched: c.Target != nil && i == c.Matched}
		l.lines = append([]string{amount(v.MgPerCM2) + " mg/cm²"}, numbers(v.Lab, c.crowded())...)
		if c.Target != nil {
			de := colour.DeltaE00(c.Target.Lab, v.Lab)
			l.lines = append(l.lines, "ΔE00 "+number(de, 1))
			l.verdict = colour.DifferenceWords(de, c.Skin.Lab.L)
			if t := colour.TurnWords(c.Target.Lab, v.Lab); t != "" && de >= 1 {
				l.verdict += ": " + t
			}
		}
		l.verdict += c.inGamutWords(v.Lab)
		all = append(all, l)
	}
	return all
}

// inGamutWords warns where a screen cannot show the colour.
func (c *Card) inGamutWords(l colour.Lab) string {
	if _, in := c.viewing().Screen(l); !in {
		return " (more than a screen can show)"
	}
	return ""
}

// crowded says that powders or pictures need room more than the numbers do.
func (c *Card) crowded() bool { return c.manyPowders() || c.Skin.Film != nil }

const (
	labelGap   = 1.5 + 2.2 // to the pointer, and its height
	verdictRow = 4
)

// labelHeight is the height of the labels: as many rows as the longest has.
func (c *Card) labelHeight(width float64) float64 {
	labels := c.labels()
	col := width/float64(len(labels)) - columnGap
	most := 0.0
	for _, l := range labels {
		rows := len(canvas.Wrap(l.verdict, noteStyle, col))
		h := float64(len(l.lines))*bodyStyle.LineHeight() + float64(min(rows, verdictRow))*noteStyle.LineHeight()
		most = max(most, h)
	}
	return labelGap + nameHeight(labels, width) + most + 1.5
}

// nameHeight leaves two lines for the names where one is too long.
func nameHeight(labels []label, width float64) float64 {
	col := width/float64(len(labels)) - columnGap
	for _, l := range labels {
		if canvas.Width(l.name, headStyle) > col*1.2 {
			return 1.8 * headStyle.LineHeight()
		}
	}
	return headStyle.LineHeight()
}

// drawLabels writes each colour's name, amount and numbers beneath it, with a
// pointer at the coverage the blend was matched at.
func (c *Card) drawLabels(cv canvas.Canvas, b canvas.Box) {
	labels := c.labels()
	for i, l := range labels {
		col := textColumn(b, i, len(labels))
		if l.matched {
			drawPointer(cv, col)
		}
		_, col = col.CutTop(labelGap)
		name, col := col.CutTop(nameHeight(labels, b.W))
		canvas.Fit(cv, name, l.name, headStyle, canvas.Left)
		for k, s := range l.lines {
			var row canvas.Box
			row, col = col.CutTop(bodyStyle.LineHeight())
			st := bodyStyle
			if c.crowded() && k > 0 && k < 3 {
				st = noteStyle.In(ink)
			}
			if l.matched && k == len(l.lines)-1 {
				st = headStyle
			}
			canvas.Line(cv, row, s, st, canvas.Left)
		}
		canvas.Paragraph(cv, col, l.verdict, noteStyle.In(ink), canvas.Left)
	}
}

// drawPointer marks the matched coverage: an arrow head under its colour.
func drawPointer(cv canvas.Canvas, col canvas.Box) {
	x, y := col.X, col.Y+0.7
	cv.Shape([]canvas.Point{{X: x, Y: y + 2.2}, {X: x + 1.3, Y: y}, {X: x + 2.6, Y: y + 2.2}}, ink)
	row := canvas.Box{X: x + 3.4, Y: y - 0.3, W: col.W - 3.4, H: 2.8}
	st, words := noteStyle.Sized(2.5).In(ink), "matched here"
	if canvas.Width(words, st) > row.W*1.2 {
		words = "matched"
	}
	canvas.Line(cv, row, words, st, canvas.Left)
}
