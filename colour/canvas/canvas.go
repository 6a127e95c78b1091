package canvas

import (
	"image"
	"math"

	"tawny/colour"
)

// Point is a place on the paper, mm.
type Point struct{ X, Y float64 }

// Canvas is what a drawing needs of its paper. Text is letters of
// the typeface, placed with their baseline's left end at the point.
type Canvas interface {
	Fill(b Box, c colour.RGB8)
	Shape(outline []Point, c colour.RGB8)
	// Line draws through the points, whole or in strokes and gaps, mm in turn.
	Line(points []Point, width float64, c colour.RGB8, dashes ...float64)
	Text(at Point, s string, st Style)
	Image(b Box, m *image.RGBA)
	// Pixels returns how many pixels a picture for the box should have.
	Pixels(b Box) (width, height int)
}

// Weight is the thickness of the letters.
type Weight uint8

// The two weights that are embedded.
const (
	Regular Weight = iota
	Bold
)

// Style is how a line of text looks. Size is the em, in mm.
type Style struct {
	Size   float64
	Weight Weight
	Colour colour.RGB8
}

// Sized returns the style at another size.
func (s Style) Sized(mm float64) Style { s.Size = mm; return s }

// In returns the style in another colour.
func (s Style) In(c colour.RGB8) Style { s.Colour = c; return s }

// Strong returns the style in bold.
func (s Style) Strong() Style { s.Weight = Bold; return s }

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
