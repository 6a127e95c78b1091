package swatches

import (
	"math"

	"tawny/colour"
	"tawny/colour/canvas"
)

// axes is the plotting area of a chart and what its edges stand for. All
// charts use it, so that they read alike.
type axes struct {
	box            canvas.Box
	x0, x1, y0, y1 float64 // values at the left, right, foot and top
}

func (a *axes) at(x, y float64) canvas.Point {
	return canvas.Point{
		X: a.box.X + (x-a.x0)/(a.x1-a.x0)*a.box.W,
		Y: a.box.Bottom() - (y-a.y0)/(a.y1-a.y0)*a.box.H,
	}
}

func (a *axes) points(x, y []float64) []canvas.Point {
	p := make([]canvas.Point, len(x))
	for i := range x {
		p[i] = a.at(x[i], y[i])
	}
	return p
}

// step returns a round distance between ticks, 1, 2 or 5 times a power of ten,
// for about n of them over a span.
func step(span float64, n int) float64 {
	raw := span / float64(n)
	p := math.Pow(10, math.Floor(math.Log10(raw)))
	for _, k := range []float64{1, 2, 5} {
		if raw <= k*p*1.0001 {
			return k * p
		}
	}
	return 10 * p
}

// spanning widens low and high to whole steps with some room, and never less
// than least apart.
func spanning(low, high, least float64, n int) (float64, float64) {
	if d := least - (high - low); d > 0 {
		low, high = low-d/2, high+d/2
	}
	s := step(high-low, n)
	return math.Floor(low/s-1e-9) * s, math.Ceil(high/s+1e-9) * s
}

// Widths of a chart's margins, mm.
const (
	tickText   = 2.6
	leftOfAxis = 9.0
	belowAxis  = 8.5
	aboveAxis  = 6.4

	belowAxisShort = 4.5 // where the axis has no name
)

// ticksUp is about how many ticks a vertical axis of a height in mm has room
// for, their numbers apart.
func ticksUp(h float64) int { return max(2, int(h/6)) }

var tickStyle = canvas.Style{Size: tickText, Colour: softInk}

// newAxes draws a frame with ticks, grid and names inside box and returns the
// plotting area. The name of the vertical axis stands above its top.
func newAxes(cv canvas.Canvas, box canvas.Box, x0, x1, y0, y1 float64, xName, yName string) *axes {
	a := &axes{x0: x0, x1: x1, y0: y0, y1: y1}
	name, box := box.CutTop(aboveAxis)
	name.H = 4
	canvas.Line(cv, name, yName, noteStyle.In(ink), canvas.Left)
	below := belowAxis
	if xName == "" {
		below = belowAxisShort
	}
	foot, box := box.CutBottom(below)
	_, box = box.CutLeft(leftOfAxis)
	_, box = box.CutRight(2)
	a.box = box
	if xName != "" {
		canvas.Line(cv, canvas.Box{X: box.X, Y: foot.Y + 4.2, W: box.W, H: 4}, xName, noteStyle.In(ink), canvas.Right)
	}
	xs, ys := step(x1-x0, max(3, int(box.W/16))), step(y1-y0, ticksUp(box.H))
	for x := math.Ceil(x0/xs-1e-9) * xs; x <= x1+xs*1e-6; x += xs {
		p := a.at(x, y0)
		cv.Fill(canvas.Box{X: p.X - 0.05, Y: box.Y, W: 0.1, H: box.H}, hairline)
		canvas.Line(cv, canvas.Box{X: p.X - 8, Y: foot.Y + 0.4, W: 16, H: 3.6}, tickNumber(x, xs), tickStyle, canvas.Centre)
	}
	for y := math.Ceil(y0/ys-1e-9) * ys; y <= y1+ys*1e-6; y += ys {
		p := a.at(x0, y)
		cv.Fill(canvas.Box{X: box.X, Y: p.Y - 0.05, W: box.W, H: 0.1}, hairline)
		canvas.Line(cv, canvas.Box{X: box.X - leftOfAxis, Y: p.Y - 1.8, W: leftOfAxis - 1, H: 3.6}, tickNumber(y, ys), tickStyle, canvas.Right)
	}
	cv.Line([]canvas.Point{{X: box.X, Y: box.Y}, {X: box.X, Y: box.Bottom()}, {X: box.Right(), Y: box.Bottom()}}, 0.25, softInk)
	return a
}

func tickNumber(v, step float64) string {
	return number(v, max(0, int(math.Ceil(-math.Log10(step)-1e-9))))
}

// mark is the shape of a point, so that points are told apart without colour.
type mark uint8

const (
	disc mark = iota
	square
	diamond
)

// drawMark draws a point of the given colour with an outline in ink.
func drawMark(cv canvas.Canvas, at canvas.Point, m mark, size float64, c colour.RGB8) {
	cv.Shape(outlineOf(at, m, size), ink)
	cv.Shape(outlineOf(at, m, size-0.3), c)
}

func outlineOf(at canvas.Point, m mark, r float64) []canvas.Point {
	switch m {
	case square:
		r *= 0.88
		return []canvas.Point{{X: at.X - r, Y: at.Y - r}, {X: at.X + r, Y: at.Y - r}, {X: at.X + r, Y: at.Y + r}, {X: at.X - r, Y: at.Y + r}}
	case diamond:
		r *= 1.2
		return []canvas.Point{{X: at.X, Y: at.Y - r}, {X: at.X + r, Y: at.Y}, {X: at.X, Y: at.Y + r}, {X: at.X - r, Y: at.Y}}
	}
	return canvas.Ring(at, r)
}

// openMark is the size of an outline that goes round a filled mark.
const openMark = 2.6

// drawOpenMark draws only the outline of a point, light on both sides so that it
// is seen on any colour.
func drawOpenMark(cv canvas.Canvas, at canvas.Point, m mark, size float64) {
	o := outlineOf(at, m, size)
	o = append(o, o[0])
	cv.Line(o, 0.8, paperWhite)
	cv.Line(o, 0.35, ink)
}

// The strokes that tell curves apart, mm on and off in turn.
var strokes = [][]float64{nil, {2.4, 1.2}, {0.5, 1.1}, {3.2, 1, 0.5, 1}, {1.2, 0.8}, {5, 1.2}}

// legend is what a curve or point is called, with its stroke or mark.
type legend struct {
	name   string
	stroke []float64
	width  float64
	mark   mark
	point  bool
	open   bool // the mark is an outline
	colour colour.RGB8
	swatch bool
}

const legendRow = 4.6

// drawLegend lists the entries in the box, in columns as wide as the longest.
func drawLegend(cv canvas.Canvas, b canvas.Box, entries []legend) {
	n := legendColumns(b.W, entries)
	for i, e := range entries {
		cell := b.Column(i%n, n, gutter)
		cell.Y += float64(i/n) * legendRow
		cell.H = legendRow
		key, text := cell.CutLeft(9)
		mid := key.Y + key.H/2
		if e.open {
			drawOpenMark(cv, canvas.Point{X: key.X + 4, Y: mid}, e.mark, 1.7)
		} else if e.point {
			drawMark(cv, canvas.Point{X: key.X + 4, Y: mid}, e.mark, 1.4, e.colour)
		} else {
			cv.Line([]canvas.Point{{X: key.X, Y: mid}, {X: key.X + 7.5, Y: mid}}, e.width, ink, e.stroke...)
		}
		if e.swatch {
			var sw canvas.Box
			sw, text = text.CutLeft(4)
			cv.Fill(canvas.Box{X: sw.X, Y: mid - 1.4, W: 2.8, H: 2.8}, e.colour)
		}
		canvas.Line(cv, text, e.name, noteStyle.In(ink), canvas.Left)
	}
}

func legendColumns(w float64, entries []legend) int {
	return max(1, min(3, int((w+gutter)/(legendWidth(entries)+gutter))))
}

// legendWidth is the width of the longest entry.
func legendWidth(entries []legend) float64 {
	widest := 0.0
	for _, e := range entries {
		widest = max(widest, canvas.Width(canvas.Clean(e.name), noteStyle)+14)
	}
	return widest
}

// legendHeight is the height a legend takes.
func legendHeight(w float64, entries []legend) float64 {
	n := legendColumns(w, entries)
	return float64((len(entries)+n-1)/n)*legendRow + 1
}
