package swatches

import "tawny/colour/canvas"

// jarsHeight is the height of the row of jars, mm.
func (c *Card) jarsHeight() float64 {
	if len(c.Jars) == 0 {
		return 0
	}
	return 12.6
}

// drawJars shows the product in the jar, seen from above: each a disc in its
// rim with its name and numbers beside it. What is in a jar is too deep to see
// through and its flakes lie every way, so it never looks as on skin.
func (c *Card) drawJars(cv canvas.Canvas, b canvas.Box) {
	if len(c.Jars) == 0 {
		return
	}
	b = rule(cv, b)
	for i, j := range c.Jars {
		cell := b.Column(i, len(c.Jars), columnGap)
		r := min(cell.H/2-0.5, 5.2)
		at := canvas.Point{X: cell.X + r, Y: cell.Y + cell.H/2}
		rgb, _ := c.viewing().Screen(j.Lab)
		cv.Shape(canvas.Ring(at, r), hairline)
		cv.Shape(canvas.Ring(at, r-0.5), paperWhite)
		cv.Shape(canvas.Ring(at, r-0.9), rgb)
		st := noteStyle.In(ink)
		_, text := cell.CutLeft(2*r + 1.5)
		_, text = text.CutTop((text.H - 3*st.LineHeight()) / 2)
		name, text := text.CutTop(st.LineHeight())
		canvas.Fit(cv, name, j.Name, st.Strong(), canvas.Left)
		drawLines(cv, text, numbers(j.Lab, true), st)
	}
}
