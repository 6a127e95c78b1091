package canvas

import "math"

// RoundRect returns the outline of a box with rounded corners of radius r mm.
func RoundRect(b Box, r float64) []Point {
	r = math.Min(r, math.Min(b.W, b.H)/2)
	centres := [4]Point{{b.Right() - r, b.Y + r}, {b.Right() - r, b.Bottom() - r}, {b.X + r, b.Bottom() - r}, {b.X + r, b.Y + r}}
	const steps = 12
	var p []Point
	for i, c := range centres {
		for k := 0; k <= steps; k++ {
			sin, cos := math.Sincos((float64(i-1) + float64(k)/steps) * math.Pi / 2)
			p = append(p, Point{c.X + r*cos, c.Y + r*sin})
		}
	}
	return p
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
