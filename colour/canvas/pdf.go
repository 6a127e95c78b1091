package canvas

import (
	"bytes"
	"compress/gzip"
	_ "embed"
	"fmt"
	"image"
	"io"
	"math"
	"strings"
	"sync"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"tawny/colour"
)

// PDF is a canvas of vector shapes and selectable text in the embedded font;
// only pictures are pixels. Colours are written as device RGB, and the document
// says by its output intent that this is sRGB.
type PDF struct {
	doc    *fpdf.Fpdf
	dpi    float64      // of pictures
	widths map[int]bool // of the pictures so far, pixels
	Missing
}

// pdfFonts are the names of the two weights: the library puts "utf8" before a
// family of lower-case letters, and Write then puts the font's own name, with
// the tag that marks a subset (ISO 32000-1, 9.6.4), in the same number of bytes.
var pdfFonts = [2]struct{ family, name string }{
	Regular: {"latotextregular", "TAWNYR+Lato-Regular"},
	Bold:    {"latotextbold", "TAWNYB+Lato-Bold"},
}

// NewPDF returns a document with no pages yet. Title and date are its
// properties; the date also makes the file the same every time.
func NewPDF(title string, date time.Time) *PDF {
	doc := fpdf.New("P", "mm", "A4", "")
	doc.SetAutoPageBreak(false, 0)
	doc.SetMargins(0, 0, 0)
	doc.SetCatalogSort(true)
	doc.SetCreationDate(date)
	doc.SetModificationDate(date)
	doc.SetTitle(title, true)
	doc.SetCreator("tawny", true)
	doc.AddOutputIntent(fpdf.OutputIntentType{
		SubtypeIdent: fpdf.OutputIntent_GTS_PDFA1, OutputConditionIdentifier: "sRGB IEC61966-2.1", Info: "sRGB IEC61966-2.1", ICCProfile: sRGBProfile(),
	})
	for i, f := range pdfFonts {
		doc.AddUTF8FontFromBytes(f.family, "", faces[i].ttf)
	}
	doc.SetLineCapStyle("round")
	doc.SetLineJoinStyle("round")
	return &PDF{doc: doc, widths: map[int]bool{}}
}

// AddPage starts a page of the given size in mm, with pictures at dpi.
func (p *PDF) AddPage(width, height, dpi float64) error {
	if !(width > 0 && height > 0 && width < 5000 && height < 5000 && dpi >= 20 && dpi <= 2400) {
		return fmt.Errorf("a page of %g × %g mm at %g dpi; up to 5000 mm and 20 to 2400 dpi are accepted", width, height, dpi)
	}
	p.dpi = dpi
	// The library turns a page that is wider than high unless told it lies.
	orientation := "P"
	if width > height {
		orientation = "L"
	}
	p.doc.AddPageFormat(orientation, fpdf.SizeType{Wd: math.Min(width, height), Ht: math.Max(width, height)})
	return p.doc.Error()
}

// Write writes the document.
func (p *PDF) Write(w io.Writer) error {
	var b bytes.Buffer
	if err := p.doc.Output(&b); err != nil {
		return err
	}
	data := b.Bytes()
	for _, f := range pdfFonts {
		data = bytes.ReplaceAll(data, []byte("/utf8"+f.family), []byte("/"+f.name))
	}
	_, err := w.Write(data)
	return err
}

// Pixels returns the size of a picture for the box.
func (p *PDF) Pixels(b Box) (width, height int) {
	k := p.dpi / 25.4
	return int(math.Round(b.W * k)), int(math.Round(b.H * k))
}

// Fill paints a box.
func (p *PDF) Fill(b Box, c colour.RGB8) {
	p.doc.SetFillColor(int(c.R), int(c.G), int(c.B))
	p.doc.Rect(b.X, b.Y, b.W, b.H, "F")
}

// Shape paints a closed outline.
func (p *PDF) Shape(outline []Point, c colour.RGB8) {
	p.doc.SetFillColor(int(c.R), int(c.G), int(c.B))
	p.path(outline)
	p.doc.ClosePath()
	p.doc.DrawPath("F")
}

// Line draws through the points, dashed or whole.
func (p *PDF) Line(points []Point, width float64, c colour.RGB8, dashes ...float64) {
	if len(dashes) > 0 {
		p.doc.SetDashPattern(dashes, 0)
		defer p.doc.SetDashPattern(nil, 0)
	}
	p.doc.SetDrawColor(int(c.R), int(c.G), int(c.B))
	p.doc.SetLineWidth(width)
	p.path(points)
	p.doc.DrawPath("D")
}

func (p *PDF) path(points []Point) {
	for i, q := range points {
		if i == 0 {
			p.doc.MoveTo(q.X, q.Y)
		} else {
			p.doc.LineTo(q.X, q.Y)
		}
	}
}

// Text sets letters that the typeface has with their baseline's left end at the point.
func (p *PDF) Text(at Point, s string, st Style) {
	p.doc.SetFont(pdfFonts[st.Weight].family, "", 0)
	p.doc.SetFontUnitSize(st.Size)
	p.doc.SetTextColor(int(st.Colour.R), int(st.Colour.G), int(st.Colour.B))
	p.doc.Text(at.X, at.Y, strings.ReplaceAll(s, string(noBreak), " "))
}

// Image places a picture in a box.
//
// The library writes pictures in order of their width and leaves those of one
// width in the order of a map, so each picture here is given a width of its
// own, by repeating its last column out of sight beyond the box.
func (p *PDF) Image(b Box, m *image.RGBA) {
	width := m.Rect.Dx()
	if width == 0 || m.Rect.Dy() == 0 {
		return
	}
	padded := width
	for p.widths[padded] {
		padded++
	}
	p.widths[padded] = true
	var data bytes.Buffer
	if err := writePNG(&data, widen(m, padded)); err != nil {
		p.doc.SetError(err)
		return
	}
	name := fmt.Sprintf("picture %d wide", padded)
	o := fpdf.ImageOptions{ImageType: "PNG"}
	p.doc.RegisterImageOptionsReader(name, o, &data)
	p.doc.ClipRect(b.X, b.Y, b.W, b.H, false)
	p.doc.ImageOptions(name, b.X, b.Y, b.W*float64(padded)/float64(width), b.H, false, o, 0, "")
	p.doc.ClipEnd()
}

// widen repeats the last column of m up to the given width.
func widen(m *image.RGBA, width int) *image.RGBA {
	from := m.Rect.Dx()
	if from == width {
		return m
	}
	out := image.NewRGBA(image.Rect(0, 0, width, m.Rect.Dy()))
	for y := range m.Rect.Dy() {
		row := m.Pix[y*m.Stride : y*m.Stride+4*from]
		to := out.Pix[y*out.Stride:]
		copy(to, row)
		for x := from; x < width; x++ {
			copy(to[4*x:4*x+4], row[4*from-4:])
		}
	}
	return out
}

var (
	_ Canvas = (*PDF)(nil)
	_ Canvas = (*Raster)(nil)
)

// profileGZ is made by TestProfileIsAsMade, which says of what.
//
//go:embed sRGB.icc.gz
var profileGZ []byte

// sRGBProfile returns the ICC profile of sRGB (IEC 61966-2-1) that a PDF names as what
// its colours are meant for.
var sRGBProfile = sync.OnceValue(func() []byte {
	z, err := gzip.NewReader(bytes.NewReader(profileGZ))
	if err != nil {
		panic(err) // compiled in, so a fault of the build
	}
	data, _ := io.ReadAll(z) // a short one fails its test
	return data
})
