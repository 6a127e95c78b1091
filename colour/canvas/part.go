package canvas

import (
	"image"

	"tawny/colour"
)

// part is a piece of paper that stands for a whole sheet of its own size.
type part struct {
	on   Canvas
	at   Point
	w, h float64 // mm, of the sheet it stands for
	k    float64 // mm on the paper for a mm of the sheet
}

// Part returns a canvas of w × h mm drawn inside box b of c, reduced or
// enlarged to fit and centred.
func Part(c Canvas, b Box, w, h float64) Canvas {
	k := min(b.W/w, b.H/h)
	return &part{c, Point{b.X + (b.W-k*w)/2, b.Y + (b.H-k*h)/2}, w, h, k}
}

func (p *part) Size() (width, height float64) { return p.w, p.h }

func (p *part) point(q Point) Point { return Point{p.at.X + p.k*q.X, p.at.Y + p.k*q.Y} }

func (p *part) box(b Box) Box {
	q := p.point(Point{b.X, b.Y})
	return Box{q.X, q.Y, p.k * b.W, p.k * b.H}
}

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
	p.on.Line(p.points(points), p.k*width, c)
}

func (p *part) Text(at Point, s string, st Style) {
	p.on.Text(p.point(at), s, st.Sized(p.k*st.Size))
}

func (p *part) Image(b Box, m *image.RGBA) { p.on.Image(p.box(b), m) }

func (p *part) Pixels(b Box) (width, height int) { return p.on.Pixels(p.box(b)) }
