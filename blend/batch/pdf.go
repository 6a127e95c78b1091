package batch

import (
	"errors"
	"fmt"
	"io"
	"time"

	"tawny/colour"
	"tawny/colour/canvas"
)

// Body sizes tried, points, largest first: each side is set in the largest
// that puts it on one page, or in the last and on as many as it takes.
var bodySizes = []float64{9, 8.6, 8.2, 7.8, 7.4, 7}

// PDF writes the sheet with vector text: the bench side first, on one page
// for a normal batch, with filling and wearing too where the steps leave room,
// then labels, cost and the stability log. Each page says which side it is. The
// swatch is nil for none; letter is US Letter instead of A4.
func PDF(w io.Writer, b *Batch, swatch *canvas.Raster, letter bool) error {
	s := sheetOf(b)
	trial, p := newPrinter("Batch sheet", b, letter), newPrinter("Batch sheet", b, letter)
	p.size = trial.fit(func() { trial.bench(s, swatch) })
	placed := p.bench(s, swatch)
	p.size = trial.fit(func() { trial.after(s, placed) })
	p.after(s, placed)
	if p.err != nil {
		return p.err
	}
	return p.doc.Write(w)
}

// fit is the largest body size that sets what it is given on one page.
func (p *printer) fit(set func()) float64 {
	for _, size := range bodySizes {
		p.size = size
		before := p.pages
		if set(); p.pages == before+1 {
			break
		}
	}
	return p.size
}

// printer sets text on pages. Lengths are mm, type sizes points.
type printer struct {
	doc           *canvas.PDF
	err           error // the first of any page
	pages         int
	size          float64
	side          string // which one the page is: bench, or label and log
	code          string // of the batch
	width, height float64
}

const (
	pageMargin = 10.0
	pictureDPI = 200
	mmPerPoint = 25.4 / 72
)

// inks as in the printable page.
var (
	ink  = colour.RGB8{R: 38, G: 34, B: 31}
	soft = colour.RGB8{R: 106, G: 98, B: 90}
	rule = colour.RGB8{R: 207, G: 199, B: 189}
	warm = colour.RGB8{R: 138, G: 75, B: 31}
)

func newPrinter(what string, b *Batch, letter bool) *printer {
	// A sheet without a day is of the day it is printed.
	made, _ := time.Parse(time.DateOnly, b.Date)
	p := &printer{doc: canvas.NewPDF(what+": "+b.Heading(), made), code: b.Code, width: 210, height: 297} // A4, ISO 216
	if letter {
		p.width, p.height = 8.5*25.4, 11*25.4
	}
	return p
}

// page starts a new page and names it at its foot.
func (p *printer) page() {
	p.err = errors.Join(p.err, p.doc.AddPage(p.width, p.height, pictureDPI))
	p.pages++
	size := p.size
	p.size = 8
	name := fmt.Sprintf("%s, page %d", p.side, p.pages)
	if p.code != "" {
		name = p.code + ": " + name
	}
	p.text(small, p.width-pageMargin-p.measure(small, name), p.height-pageMargin+2, name)
	p.size = size
}

// style is how a run of text looks: its size is in body sizes.
type style = canvas.Style

var (
	plain = style{Size: 1, Colour: ink}
	bold  = plain.Strong()
	small = style{Size: 0.88, Colour: soft}
	faint = style{Size: 1, Colour: soft}
	head  = style{Size: 0.85, Weight: canvas.Bold, Colour: warm}
	title = style{Size: 1.7, Weight: canvas.Bold, Colour: ink}
	alarm = bold.In(warm)
)

// set is a style at the body's size.
func (p *printer) set(s style) style { return s.Sized(s.Size * p.size * mmPerPoint) }

// lead is the height of a line, mm.
func (p *printer) lead(s style) float64 { return p.set(s).LineHeight() }

func (p *printer) measure(s style, text string) float64 { return canvas.Width(text, p.set(s)) }

// text writes one line with its top at y.
func (p *printer) text(s style, x, y float64, text string) {
	s = p.set(s)
	canvas.Set(p.doc, canvas.Point{X: x, Y: y + s.Size*0.95}, text, s)
}

func (p *printer) line(c colour.RGB8, x1, y1, x2, y2, w float64) {
	p.doc.Line([]canvas.Point{{X: x1, Y: y1}, {X: x2, Y: y2}}, w, c)
}

// tick draws a box to tick, its top at y, or one that is ticked.
func (p *printer) tick(x, y float64, ticked bool) {
	side := p.size * mmPerPoint * 0.82
	canvas.Frame(p.doc, canvas.Box{X: x, Y: y + 0.25, W: side, H: side}, 0.25, ink)
	if ticked {
		p.line(ink, x, y+0.25, x+side, y+0.25+side, 0.3)
		p.line(ink, x, y+0.25+side, x+side, y+0.25, 0.3)
	}
}

// tickRoom is the width a tick box takes before its text.
func (p *printer) tickRoom() float64 { return p.size * mmPerPoint * 1.25 }

// wrap breaks text to lines no wider than w. There is always one line.
func (p *printer) wrap(s style, text string, w float64) []string {
	if lines := canvas.Wrap(text, p.set(s), w); len(lines) > 0 {
		return lines
	}
	return []string{""}
}
