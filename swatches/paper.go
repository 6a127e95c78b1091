package swatches

import (
	"bytes"
	"time"

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
	A6      = Paper{105, 148, 200}       // ISO 216
	Phone   = Paper{70, 151.67, 391.886} // 1080 × 2340 pixels
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

// Drawing is anything that can be put on paper: a card, a pair, a chart.
type Drawing interface {
	Draw(cv canvas.Canvas, page canvas.Box)
}

// page is the whole of the paper.
func (p Paper) page() canvas.Box { return canvas.Box{W: p.WidthMM, H: p.HeightMM} }

// Raster draws at the paper's resolution.
func Raster(d Drawing, p Paper) (*canvas.Raster, error) {
	p = p.filled()
	r, err := canvas.NewRaster(p.WidthMM, p.HeightMM, p.DPI, paperWhite)
	if err != nil {
		return nil, err
	}
	d.Draw(r, p.page())
	return r, nil
}

// PNG draws and returns a PNG of the paper's exact size, and the letters that no
// font here has.
func PNG(d Drawing, p Paper) ([]byte, canvas.Missing, error) {
	r, err := Raster(d, p)
	if err != nil {
		return nil, nil, err
	}
	var b bytes.Buffer
	if err := canvas.WritePNG(&b, r.Pix, r.DPI); err != nil {
		return nil, nil, err
	}
	return b.Bytes(), r.Missing, nil
}

// PDF draws each drawing on a page of its own, with vector text, and returns
// the document and the letters that no font here has. Title and date are its
// properties.
func PDF(p Paper, title string, date time.Time, pages ...Drawing) ([]byte, canvas.Missing, error) {
	p = p.filled()
	doc := canvas.NewPDF(title, date)
	for _, d := range pages {
		if err := doc.AddPage(p.WidthMM, p.HeightMM, p.DPI); err != nil {
			return nil, nil, err
		}
		d.Draw(doc, p.page())
	}
	var b bytes.Buffer
	if err := doc.Write(&b); err != nil {
		return nil, nil, err
	}
	return b.Bytes(), doc.Missing, nil
}
