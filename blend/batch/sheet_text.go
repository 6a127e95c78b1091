package batch

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"
)

// textWidth is the sheet's width in columns: a narrow terminal, or A4 in a
// fixed-width type.
const textWidth = 78

// Text writes the sheet for a terminal or a plain printer.
func Text(w io.Writer, b *Batch) error {
	s := sheetOf(b)
	t := &textSheet{}
	t.para("BATCH SHEET  ", s.Heading)
	t.line("%s", strings.Repeat("=", textWidth))
	t.line("%s", s.Made)
	t.facts("", s.Facts)
	for _, f := range s.Stops {
		t.para(f.Name+": ", f.Value)
	}
	for _, one := range s.sections() {
		t.line("\n%s", strings.ToUpper(one.Name))
		for _, b := range one.Blocks {
			t.block("", b)
		}
	}
	_, err := io.WriteString(w, t.String())
	return err
}

type textSheet struct{ strings.Builder }

func (t *textSheet) line(format string, a ...any) {
	t.WriteString(strings.TrimRight(fmt.Sprintf(format, a...), " ") + "\n")
}

// para wraps text to the width with a hanging indent after the lead.
func (t *textSheet) para(lead, text string) {
	for _, l := range wrap(text, textWidth-utf8.RuneCountInString(lead)) {
		t.line("%s%s", lead, l)
		lead = pad("", utf8.RuneCountInString(lead))
	}
}

func (t *textSheet) facts(indent string, facts []Fact) {
	wide := 0
	for _, f := range facts {
		wide = max(wide, utf8.RuneCountInString(f.Name))
	}
	for _, f := range facts {
		t.para(indent+pad(f.Name, wide+2), f.Value)
	}
}

func (t *textSheet) block(indent string, b block) {
	lead := indent + b.Mark + " "
	if b.Mark == "" {
		lead = indent + "  "
	}
	switch {
	case b.Table != nil:
		t.table(b.Table)
	case b.Facts != nil:
		t.facts(lead, b.Facts)
	case b.Value != "":
		for i, part := range wrap(b.Text, 44) {
			if i == 0 {
				t.line("%s%s %14s", lead, pad(part, 44), b.Value)
			} else {
				t.line("%s%s", pad("", len(lead)-len(b.Mark)+1), part)
			}
		}
	default:
		t.para(lead, b.Text)
	}
	for _, u := range b.Under {
		t.block(indent+"   ", u)
	}
}

func (t *textSheet) table(tb *grid) {
	const gap = "  "
	widths := tb.widths(textWidth-len(gap), len(gap))
	row := func(lead string, cells []string) {
		for _, out := range tb.lines(cells, func(i int, text string) []string { return wrap(text, widths[i]) }) {
			for i := range out {
				if room := pad("", widths[i]-utf8.RuneCountInString(out[i])); tb.Columns[i].Right {
					out[i] = room + out[i]
				} else {
					out[i] += room
				}
			}
			t.line("%s", lead+strings.Join(out, gap))
			lead = gap
		}
	}
	row(gap, tb.names())
	for _, r := range tb.Rows {
		cells := slices.Clone(r.Cells)
		for i, c := range tb.Columns {
			if c.Write && !r.Total {
				cells[i] = blank(cells[i], min(8, widths[i]))
			}
		}
		lead := gap
		if tb.Tick && !r.Total {
			lead = r.mark() + " "
		}
		row(lead, cells)
		if r.Note != "" {
			t.para(pad("", 4+widths[0])+point+" ", r.Note)
		}
	}
}

// pad fills a string to n columns; longer ones are left whole.
func pad(s string, n int) string {
	return s + strings.Repeat(" ", max(0, n-utf8.RuneCountInString(s)))
}

// wrap breaks text at spaces to lines of at most n columns, and a word longer
// than a line inside. There is always one line.
func wrap(s string, n int) []string {
	out := []string{""}
	for _, word := range strings.Fields(s) {
		last := out[len(out)-1]
		if joined := strings.TrimSpace(last + " " + word); utf8.RuneCountInString(joined) <= n {
			out[len(out)-1] = joined
			continue
		}
		r := []rune(word)
		for len(r) > n {
			out = append(out, string(r[:n]))
			r = r[n:]
		}
		out = append(out, string(r))
	}
	if len(out) > 1 && out[0] == "" { // a long first word
		out = out[1:]
	}
	return out
}
