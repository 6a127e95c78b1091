package batch

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"errors"
	"html/template"
	"io"
	"regexp"
)

//go:embed sheet.html.tmpl
var sheetHTML string

var sheetTemplate = template.Must(template.New("sheet").Funcs(template.FuncMap{"lines": linesToWriteOn}).Parse(sheetHTML))

// pngMagic begins every PNG file (PNG specification, section 5.2).
var pngMagic = []byte("\x89PNG\r\n\x1a\n")

// HTML writes the sheet as one printable page with nothing to fetch. The
// swatch is a PNG, or nil for none.
func HTML(w io.Writer, b *Batch, swatchPNG []byte) error {
	v := struct {
		*sheet
		Swatch template.URL
	}{sheet: sheetOf(b)}
	if swatchPNG != nil {
		if !bytes.HasPrefix(swatchPNG, pngMagic) {
			return errors.New("the swatch is no PNG")
		}
		v.Swatch = template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(swatchPNG))
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
