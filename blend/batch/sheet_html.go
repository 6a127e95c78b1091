package batch

import (
	"bytes"
	_ "embed"
	"encoding/base64"
	"errors"
	"html/template"
	"io"
)

//go:embed sheet.html.tmpl
var sheetHTML string

var sheetTemplate = template.Must(template.New("sheet").Parse(sheetHTML))

// pngMagic begins every PNG file (PNG specification, section 5.2).
var pngMagic = []byte("\x89PNG\r\n\x1a\n")

// HTML writes the sheet as one printable page with nothing to fetch. The
// swatch is a PNG, or nil for none.
func HTML(w io.Writer, b *Batch, swatchPNG []byte) error {
	v := htmlSheet{Batch: b, Heading: b.Heading(), Facts: b.Facts(), Checkable: b.Checkable(), Total: b.Format(b.TotalSteps),
		Making: b.CautionsFor(WhenBuying, WhenMaking), Wearing: b.CautionsFor(WhenFilling, WhenSelling, WhenWearing),
		PowderFacts: b.Powders, Advice: b.Advice(), Markets: b.Label.Markets(), Looks: b.Log[0].Looks, Keep: Keep}
	if swatchPNG != nil {
		if !bytes.HasPrefix(swatchPNG, pngMagic) {
			return errors.New("the swatch is no PNG")
		}
		v.Swatch = template.URL("data:image/png;base64," + base64.StdEncoding.EncodeToString(swatchPNG))
	}
	phase := Phase("")
	for _, l := range b.Weighings {
		v.Rows = append(v.Rows, htmlRow{l.Steps, phase != "" && l.Phase != phase, string(l.Phase), l.Name, l.Filler, l.Note, percentText(l.Weighed), b.Format(l.Steps), l.Lot})
		phase = l.Phase
		if l.Filler {
			v.FillerName = l.Name
		}
	}
	for _, s := range b.Steps {
		hs := htmlStep{Number: s.Number, Title: s.Title, When: s.when(), Do: s.Do, Readings: s.Readings}
		for _, sw := range s.Weights {
			hs.Weights = append(hs.Weights, htmlWeight{sw.Name, b.Format(sw.Steps), sw.Part})
		}
		v.Steps = append(v.Steps, hs)
	}
	if b.Cost != nil {
		v.CostFacts, v.Currency = b.Cost.Facts(), b.Cost.Currency
	}
	var out bytes.Buffer
	if err := sheetTemplate.Execute(&out, v); err != nil {
		return err
	}
	_, err := w.Write(out.Bytes())
	return err
}

// htmlSheet is what the template prints.
type htmlSheet struct {
	*Batch
	Heading         string
	Facts           []Fact
	Swatch          template.URL
	Checkable       []Finding
	Rows            []htmlRow
	Total           string
	FillerName      string
	Steps           []htmlStep
	Making, Wearing []Caution
	PowderFacts     []PowderFact
	Advice          []Finding
	Markets         []NamedLabel
	CostFacts       []Fact
	Currency        string
	Looks           []string
	Keep            string
}

type htmlRow struct {
	Steps   int64
	First   bool // of its phase
	Phase   string
	Name    string
	Filler  bool
	Note    string
	Percent string
	Grams   string
	Lot     string
}

type htmlStep struct {
	Number   int
	Title    string
	When     string
	Do       []string
	Weights  []htmlWeight
	Readings []Reading
}

type htmlWeight struct{ Name, Grams, Part string }
