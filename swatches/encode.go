package swatches

import (
	"bytes"
	"time"

	"tawny/colour/canvas"
)

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
