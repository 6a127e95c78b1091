package batch

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"codeberg.org/go-pdf/fpdf"
)

// PDFOptions are what a PDF sheet needs besides the batch.
type PDFOptions struct {
	// Regular and Bold are TrueType fonts. With none the reader's own
	// Helvetica is used, and letters outside Windows-1252 print as a
	// question mark.
	Regular, Bold []byte
	SwatchPNG     []byte // nil for none
	Letter        bool   // US Letter instead of A4
}

// Body sizes tried, points, largest first: each side is set in the largest
// that puts it on one page, or in the last and on as many as it takes.
var bodySizes = []float64{9, 8.6, 8.2, 7.8, 7.4, 7}

// PDF writes the sheet with vector text: the bench side first, on one page
// for a normal batch, with filling and wearing too where the steps leave room,
// then labels, cost and the stability log. Each page says which side it is.
func PDF(w io.Writer, b *Batch, opt PDFOptions) error {
	if (opt.Regular == nil) != (opt.Bold == nil) {
		return errors.New("one font of two is given; accepted: regular and bold, or neither")
	}
	if opt.SwatchPNG != nil && !bytes.HasPrefix(opt.SwatchPNG, pngMagic) {
		return errors.New("the swatch is no PNG")
	}
	s := sheetOf(b)
	trial := newPrinter(opt, 0)
	var placed int
	benchSize := trial.fit(func() { placed = trial.bench(s, opt.SwatchPNG) })
	afterSize := trial.fit(func() { trial.after(s, placed) })
	p := newPrinter(opt, benchSize)
	p.code = b.Code
	placed = p.bench(s, opt.SwatchPNG)
	p.size = afterSize
	p.after(s, placed)
	p.f.SetTitle("Batch sheet: "+s.Heading, true)
	var out bytes.Buffer
	if err := p.f.Output(&out); err != nil {
		return fmt.Errorf("PDF: %w", err)
	}
	_, err := w.Write(out.Bytes())
	return err
}

// fit is the largest body size that sets what it is given on one page.
func (p *printer) fit(set func()) float64 {
	for _, size := range bodySizes {
		p.size = size
		before := p.f.PageCount()
		if set(); p.f.PageCount() == before+1 {
			break
		}
	}
	return p.size
}

// printer sets text on pages. Lengths are mm, type sizes points.
type printer struct {
	f             *fpdf.Fpdf
	core          bool // Helvetica, Windows-1252
	size          float64
	side          string // which one the page is: bench, or label and log
	code          string // of the batch
	width, height float64
}

const (
	pageMargin = 10.0
	family     = "sheet"
	mmPerPoint = 25.4 / 72
)

// inks as in the printable page.
var (
	ink  = [3]int{38, 34, 31}
	soft = [3]int{106, 98, 90}
	rule = [3]int{207, 199, 189}
	warm = [3]int{138, 75, 31}
)

func newPrinter(opt PDFOptions, size float64) *printer {
	paper := "A4"
	if opt.Letter {
		paper = "Letter"
	}
	p := &printer{f: fpdf.New("P", "mm", paper, ""), core: opt.Regular == nil, size: size}
	p.f.SetAutoPageBreak(false, 0)
	p.f.SetLang("en")
	if !p.core {
		p.f.AddUTF8FontFromBytes(family, "", opt.Regular)
		p.f.AddUTF8FontFromBytes(family, "B", opt.Bold)
	}
	p.width, p.height = p.f.GetPageSize()
	return p
}

// page starts a new page and names it at its foot.
func (p *printer) page() {
	p.f.AddPage()
	size := p.size
	p.size = 8
	name := fmt.Sprintf("%s, page %d", p.side, p.f.PageNo())
	if p.code != "" {
		name = p.code + ": " + name
	}
	p.text(small, p.width-pageMargin-p.measure(small, name), p.height-pageMargin+2, name)
	p.size = size
}

// style is how a run of text looks.
type style struct {
	bold  bool
	scale float64 // of the body size; 0 is 1
	ink   [3]int
}

var (
	plain = style{ink: ink}
	bold  = style{bold: true, ink: ink}
	small = style{scale: 0.88, ink: soft}
	faint = style{ink: soft}
	head  = style{bold: true, scale: 0.85, ink: warm}
	title = style{bold: true, scale: 1.7, ink: ink}
)

func (s style) points(body float64) float64 {
	if s.scale == 0 {
		return body
	}
	return body * s.scale
}

// lead is the height of a line, mm.
func (p *printer) lead(s style) float64 { return s.points(p.size) * mmPerPoint * 1.22 }

func (p *printer) use(s style) {
	fam := family
	if p.core {
		fam = "Helvetica"
	}
	weight := ""
	if s.bold {
		weight = "B"
	}
	p.f.SetFont(fam, weight, s.points(p.size))
	p.f.SetTextColor(s.ink[0], s.ink[1], s.ink[2])
}

func (p *printer) measure(s style, text string) float64 {
	p.use(s)
	return p.f.GetStringWidth(p.encode(text))
}

// text writes one line with its top at y.
func (p *printer) text(s style, x, y float64, text string) {
	p.use(s)
	p.f.Text(x, y+s.points(p.size)*mmPerPoint*0.95, p.encode(text))
}

// encode turns text into what the font takes.
func (p *printer) encode(text string) string {
	if !p.core {
		return text
	}
	out := make([]byte, 0, len(text))
	for _, r := range text {
		out = append(out, windows1252(r))
	}
	return string(out)
}

func (p *printer) line(c [3]int, x1, y1, x2, y2, w float64) {
	p.f.SetDrawColor(c[0], c[1], c[2])
	p.f.SetLineWidth(w)
	p.f.Line(x1, y1, x2, y2)
}

// tick draws a box to tick, its top at y.
func (p *printer) tick(x, y float64) {
	side := p.size * mmPerPoint * 0.82
	p.f.SetDrawColor(ink[0], ink[1], ink[2])
	p.f.SetLineWidth(0.25)
	p.f.Rect(x, y+0.25, side, side, "D")
}

// tickRoom is the width a tick box takes before its text.
func (p *printer) tickRoom() float64 { return p.size * mmPerPoint * 1.25 }

// wrap breaks text at spaces to lines no wider than w.
func (p *printer) wrap(s style, text string, w float64) []string {
	return wrapBy(text, func(line string) bool { return p.measure(s, line) <= w })
}
