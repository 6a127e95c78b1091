package swatches

import (
	"tawny/colour/canvas"
)

// jarHeight is the height of the row of jars, mm.
const jarHeight = 12.6

// drawJars shows the product in the jar, seen from above: each a disc in its
// rim with its name and numbers beside it. What is in a jar is too deep to see
// through and its flakes lie every way, so it never looks as on skin.
func (c *Card) drawJars(cv canvas.Canvas, b canvas.Box) {
	rule(cv, b)
	_, b = b.CutTop(1.5)
	n := len(c.Jars)
	for i, j := range c.Jars {
		cell := b.Column(i, n, 2)
		r := min(cell.H/2-0.5, 5.2)
		at := canvas.Point{X: cell.X + r, Y: cell.Y + cell.H/2}
		rgb, _ := c.screen(j.Lab)
		cv.Shape(canvas.Ring(at, r), hairline)
		cv.Shape(canvas.Ring(at, r-0.5), paperWhite)
		cv.Shape(canvas.Ring(at, r-0.9), rgb)
		_, text := cell.CutLeft(2*r + 1.5)
		st := noteStyle.In(ink)
		lines := append([]string{}, c.numberLines(j.Lab, true)...)
		_, text = text.CutTop((text.H - 3*st.LineHeight()) / 2)
		name, text := text.CutTop(st.LineHeight())
		canvas.Fit(cv, name, j.Name, st.Strong(), canvas.Left)
		for _, s := range lines[:2] {
			var row canvas.Box
			row, text = text.CutTop(st.LineHeight())
			canvas.Line(cv, row, s, st, canvas.Left)
		}
	}
}

func (c *Card) jarsHeight() float64 {
	if len(c.Jars) == 0 {
		return 0
	}
	return jarHeight
}
