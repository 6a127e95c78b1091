package batch

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"
)

// LabelSheet is a page of self-adhesive labels, mm, set in the middle of its
// paper.
type LabelSheet struct {
	Letter        bool // US Letter instead of A4
	Columns, Rows int
	Width, Height float64 // of one
	GapX          float64 // between two columns; rows touch
}

// LabelSheets are usual ones (from memory; a trial on plain paper held against
// the sheet tells).
var LabelSheets = []LabelSheet{
	{false, 2, 4, 99.1, 67.7, 2.5},
	{false, 2, 7, 99.1, 38.1, 2.5},
	{false, 3, 7, 63.5, 38.1, 2.5},
	{false, 3, 8, 63.5, 33.9, 2.5},
	{true, 2, 3, 101.6, 84.7, 4.8},
	{true, 2, 5, 101.6, 50.8, 4.8},
	{true, 3, 10, 66.7, 25.4, 3.2},
}

// Per is how many labels are on it.
func (s LabelSheet) Per() int { return s.Columns * s.Rows }

// LabelSheetOf finds the sheet of so many labels on A4, or on US Letter.
func LabelSheetOf(letter bool, per int) (LabelSheet, error) {
	var have []string
	for _, s := range LabelSheets {
		if s.Letter != letter {
			continue
		}
		if s.Per() == per {
			return s, nil
		}
		have = append(have, fmt.Sprint(s.Per()))
	}
	return LabelSheet{}, fmt.Errorf("no sheet of %d labels is known; %s are accepted on this paper", per, strings.Join(have, ", "))
}

// labelSizes are tried largest first, points. Under the last, letters are no
// longer easily read (common practice).
var labelSizes = []float64{14, 12, 10, 9, 8, 7, 6.5, 6, 5.5, 5}

// labelPad is kept clear inside a label, since sheets are cut and fed askew, mm.
const labelPad = 2.0

// side is one label's paragraphs.
type side []block

// front is what it is and how much; what is guessed is marked on the back.
func (b *Batch) front(m LabelText) side {
	out := side{{Text: cmp.Or(b.Title, m.Product), Strong: true}}
	if b.Title != "" {
		out = append(out, block{Text: m.Product})
	}
	return append(out, block{Text: m.Net, Strong: true})
}

// back is what the law wants to be read, and what is to be checked before that.
func (m LabelText) back() side {
	out := side{{Text: m.Ingredients}, {Text: strings.Join(m.Cautions, " ")}}
	for _, l := range m.Lines {
		out = append(out, block{Text: l})
	}
	if len(m.Draft) > 0 {
		out = append(out, block{Text: "DRAFT: " + strings.Join(m.Draft, "; "), Strong: true})
	}
	return out
}

// LabelsPDF writes a front and a back for each container, or one sheet of each
// where none are counted; market is one of the batch's label's.
func LabelsPDF(w io.Writer, b *Batch, market NamedLabel, on LabelSheet) error {
	p := newPrinter("Labels", b, on.Letter)
	per := on.Per()
	n := cmp.Or(b.Filling.Filled, per)
	left := (p.width - float64(on.Columns)*on.Width - float64(on.Columns-1)*on.GapX) / 2
	top := (p.height - float64(on.Rows)*on.Height) / 2
	sides := []side{b.front(market.Text), market.Text.back()}
	for at := range 2 * n {
		if at%per == 0 {
			if err := p.doc.AddPage(p.width, p.height, pictureDPI); err != nil {
				return err
			}
		}
		rows, err := p.fitLabel(sides[at/n], on)
		if err != nil {
			return err
		}
		x := left + float64(at%per%on.Columns)*(on.Width+on.GapX) + labelPad
		y := top + float64(at%per/on.Columns)*on.Height + labelPad
		for _, r := range rows {
			r.draw(x, y)
			y += r.h
		}
	}
	return p.doc.Write(w)
}

// fitLabel sets a side in the largest letters that it fits in.
func (p *printer) fitLabel(s side, on LabelSheet) ([]row, error) {
	i := slices.IndexFunc(labelSizes, func(size float64) bool {
		p.size = size
		return chunk{rows: p.label(s, on)}.height() <= on.Height-2*labelPad
	})
	if i < 0 {
		return nil, fmt.Errorf("the text does not fit a label of %g × %g mm in letters of %g points; take larger labels", on.Width, on.Height, p.size)
	}
	return p.label(s, on), nil
}

func (p *printer) label(s side, on LabelSheet) (out []row) {
	for _, b := range s {
		if b.Text != "" {
			out = append(out, p.rows(b, on.Width-2*labelPad)...)
		}
	}
	return out
}
