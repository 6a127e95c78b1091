package batch

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"html/template"
	"io"
	"regexp"

	"tawny/colour/canvas"
)

//go:embed sheet.html.tmpl
var sheetHTML string

var sheetTemplate = template.Must(template.New("sheet").Funcs(template.FuncMap{"lines": linesToWriteOn}).Parse(sheetHTML))

// HTML writes the sheet as one printable page with nothing to fetch. The
// swatch is nil for none.
func HTML(w io.Writer, b *Batch, swatch *canvas.Raster) error {
	v := struct {
		*sheet
		Swatch template.URL
	}{sheet: sheetOf(b)}
	if swatch != nil {
		var png bytes.Buffer
		if err := canvas.WritePNG(&png, swatch.Pix, swatch.DPI); err != nil {
			return err
		}
		v.Swatch = template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(png.Bytes()))
	}
	var out bytes.Buffer
	if err := sheetTemplate.Execute(&out, v); err != nil {
		return err
	}
	_, err := w.Write(out.Bytes())
	return err
}

var blanks = regexp.MustCompile("_{4,}")

// linesToWriteOn is text with its blanks as lines that keep their length
// where letters are narrow.
func linesToWriteOn(s string) template.HTML {
	return template.HTML(blanks.ReplaceAllString(template.HTMLEscapeString(s), `<span class="write"></span>`))
}
