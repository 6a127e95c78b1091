package swatches

import (
	"bytes"
	"time"

	"tawny/swatches/canvas"
)

// WritePDF draws each drawing on a page of its own, with vector text, and
// writes the document under a temporary name that is renamed when whole. Title
// and date are the document's properties.
func WritePDF(path string, p Paper, title string, date time.Time, pages ...Drawing) error {
	doc, err := pdf(p, title, date, pages)
	if err != nil {
		return err
	}
	return canvas.WriteFile(path, doc.Write)
}

// PDF draws each drawing on a page of its own and returns the document.
func PDF(p Paper, title string, date time.Time, pages ...Drawing) ([]byte, error) {
	doc, err := pdf(p, title, date, pages)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	if err := doc.Write(&b); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}

func pdf(p Paper, title string, date time.Time, pages []Drawing) (*canvas.PDF, error) {
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
	return doc, nil
}
