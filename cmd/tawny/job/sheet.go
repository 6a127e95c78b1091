package job

import (
	"io"

	"tawny/blend/batch"
	"tawny/swatches"
)

// SheetFormats lists how a batch sheet can be written.
var SheetFormats = []string{"text", "markdown", "html", "pdf"}

// sheetEndings are the file endings of SheetFormats.
var sheetEndings = map[string]string{"text": "txt", "markdown": "md", "html": "html", "pdf": "pdf"}

// WriteSheet writes a batch sheet in a format. HTML and PDF carry the arm of the
// swatch card, where there is one: bare skin to full.
func WriteSheet(w io.Writer, b *batch.Batch, format string, card *swatches.Card, letter bool) error {
	switch format {
	case "text":
		return batch.Text(w, b)
	case "markdown":
		return batch.Markdown(w, b)
	}
	var swatch []byte
	if card != nil {
		var err error
		if swatch, _, err = swatches.PNG(swatches.Arm{Card: card}, swatches.Paper{WidthMM: 60, HeightMM: 40, DPI: 300}); err != nil {
			return input(err)
		}
	}
	if format == "html" {
		return batch.HTML(w, b, swatch)
	}
	return batch.PDF(w, b, batch.PDFOptions{SwatchPNG: swatch, Letter: letter})
}
