package canvas

import (
	"math"

	"tawny/colour"
)

// Frame draws the edge of a box.
func Frame(c Canvas, b Box, width float64, ink colour.RGB8) {
	c.Line([]Point{{b.X, b.Y}, {b.Right(), b.Y}, {b.Right(), b.Bottom()}, {b.X, b.Bottom()}, {b.X, b.Y}}, width, ink)
}

// Ring returns the outline of a circle of radius r mm.
func Ring(c Point, r float64) []Point {
	const steps = 48
	p := make([]Point, steps)
	for k := range p {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / steps)
		p[k] = Point{c.X + r*cos, c.Y + r*sin}
	}
	return p
}
