package canvas

import "math"

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
