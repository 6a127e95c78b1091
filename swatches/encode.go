package swatches

import (
	"bytes"
	"time"

	"tawny/colour/canvas"
)

// PNG draws and returns a PNG of the paper's exact size.
func PNG(d Drawing, p Paper) ([]byte, error) {
	r, err := Raster(d, p)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := canvas.WritePNG(&b, r.Pix, r.DPI); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

// PDF draws each drawing on a page of its own, with vector text, and returns
// the document. Title and date are its properties.
func PDF(p Paper, title string, date time.Time, pages ...Drawing) ([]byte, error) {
	p = p.filled()
	doc := canvas.NewPDF(title, date)
	for _, d := range pages {
		if err := d.Check(); err != nil {
			return nil, err
		}
		if err := doc.AddPage(p.WidthMM, p.HeightMM, p.DPI); err != nil {
			return nil, err
		}
		d.Draw(doc)
	}
	var b bytes.Buffer
	if err := doc.Write(&b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
