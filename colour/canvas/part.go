package canvas

import (
	"image"

	"tawny/colour"
)

// part is a piece of paper with its own corner, at the size it has.
type part struct {
	on Canvas
	b  Box
}

// Part returns a canvas that is box b of c.
func Part(c Canvas, b Box) Canvas { return &part{c, b} }

func (p *part) Size() (width, height float64) { return p.b.W, p.b.H }

func (p *part) point(q Point) Point { return Point{p.b.X + q.X, p.b.Y + q.Y} }

func (p *part) box(b Box) Box { return Box{p.b.X + b.X, p.b.Y + b.Y, b.W, b.H} }

func (p *part) points(list []Point) []Point {
	out := make([]Point, len(list))
	for i, q := range list {
		out[i] = p.point(q)
	}
	return out
}

func (p *part) Fill(b Box, c colour.RGB8) { p.on.Fill(p.box(b), c) }

func (p *part) Shape(outline []Point, c colour.RGB8) { p.on.Shape(p.points(outline), c) }

func (p *part) Line(points []Point, width float64, c colour.RGB8) {
	p.on.Line(p.points(points), width, c)
}

func (p *part) Text(at Point, s string, st Style) { p.on.Text(p.point(at), s, st) }

func (p *part) Image(b Box, m *image.RGBA) { p.on.Image(p.box(b), m) }

func (p *part) Pixels(b Box) (width, height int) { return p.on.Pixels(p.box(b)) }
