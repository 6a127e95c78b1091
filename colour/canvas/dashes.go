package canvas

import (
	"math"

	"tawny/colour"
)

// Dashed draws a line in strokes and gaps, mm in turn; no pattern draws it
// whole.
func Dashed(c Canvas, points []Point, width float64, pattern []float64, ink colour.RGB8) {
	if len(pattern) == 0 || len(points) < 2 {
		if len(points) > 1 {
			c.Line(points, width, ink)
		}
		return
	}
	k, left, on := 0, pattern[0], true
	stroke := []Point{points[0]}
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		length := math.Hypot(b.X-a.X, b.Y-a.Y)
		done := 0.0
		for length-done > left {
			done += left
			at := Point{a.X + (b.X-a.X)*done/length, a.Y + (b.Y-a.Y)*done/length}
			if on {
				c.Line(append(stroke, at), width, ink)
			}
			on = !on
			k = (k + 1) % len(pattern)
			left = math.Max(pattern[k], 0.05)
			stroke = []Point{at}
		}
		left -= length - done
		stroke = append(stroke, b)
	}
	if on && len(stroke) > 1 {
		c.Line(stroke, width, ink)
	}
}
