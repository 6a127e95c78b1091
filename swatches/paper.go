package swatches

import (
	"tawny/colour"
	"tawny/colour/canvas"
)

// Paper is what a drawing is made on. The zero Paper is a photo card of
// 6 × 4 inches upright at 200 dots per inch: 800 × 1200 pixels.
type Paper struct {
	WidthMM, HeightMM float64
	DPI               float64
}

const inch = 25.4 // mm

// The sizes that are offered by name.
var (
	Upright = Paper{4 * inch, 6 * inch, 200}
	Wide    = Paper{6 * inch, 4 * inch, 200}
)

func (p Paper) filled() Paper {
	if p.WidthMM == 0 && p.HeightMM == 0 {
		p.WidthMM, p.HeightMM = Upright.WidthMM, Upright.HeightMM
	}
	if p.DPI == 0 {
		p.DPI = Upright.DPI
	}
	return p
}

// Drawing is anything that can be put on paper: a card, a strip, a chart.
type Drawing interface {
	Check() error // one clear error for data that cannot be drawn
	Draw(canvas.Canvas)
}

// TitleOf returns the title that stands at a drawing's head, or "".
func TitleOf(d Drawing) string {
	switch d := d.(type) {
	case *Card:
		return d.Title
	case *Board:
		return d.Title
	case *Compare:
		return d.Title
	case *ReflectanceChart:
		return d.Heading.Title
	case *PlaneChart:
		return d.Heading.Title
	case *LoadChart:
		return d.Heading.Title
	case *Ladder:
		return d.Heading.Title
	}
	return ""
}

// Raster draws at the paper's resolution.
func Raster(d Drawing, p Paper) (*canvas.Raster, error) {
	if err := d.Check(); err != nil {
		return nil, err
	}
	p = p.filled()
	r, err := canvas.NewRaster(p.WidthMM, p.HeightMM, p.DPI, paperWhite)
	if err != nil {
		return nil, err
	}
	d.Draw(r)
	return r, nil
}

// The inks are neutral so that they do not tint the eye's judgement of the
// patches beside them.
var (
	paperWhite = colour.RGB8{R: 250, G: 250, B: 250}
	ink        = colour.RGB8{R: 34, G: 34, B: 34}
	softInk    = colour.RGB8{R: 92, G: 92, B: 92}
	hairline   = colour.RGB8{R: 205, G: 205, B: 205}
)
