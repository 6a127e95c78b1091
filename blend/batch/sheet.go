package batch

import (
	"fmt"
	"slices"
	"strings"
)

// sheet is a batch as a document: what every printer sets, in this order.
type sheet struct {
	Heading string
	Made    string // batch code, day and hand, with lines to write on
	Facts   []Fact
	Stops   []Fact // findings to mend before anything is made, by severity

	Weights section
	Before  section
	Steps   section
	Closing []section // filling, wearing and selling
	Labels  []section
	Records []section // cost and stability log
}

// section is blocks under a heading.
type section struct {
	Name   string
	Blocks []block
}

// block is a paragraph or, where Facts or Table is set, what that says. A
// block with others under it is a step.
type block struct {
	Mark   string // tick, done, care, point or none
	Text   string
	Value  string // at the right of the text: a weight
	Strong bool
	Soft   bool // a note
	Facts  []Fact
	Table  *grid
	Under  []block
}

// The marks that stand before a paragraph.
const (
	tick  = "☐"
	done  = "☑"
	care  = "!"
	point = "·"
)

// grid is rows under columns. Where Tick is set each row but the total has a
// box to tick before it.
type grid struct {
	Columns []column
	Rows    []tableRow
	Tick    bool
}

// column is one of a table. Width is in letters; columns of width 0 share
// what is left.
type column struct {
	Name          string
	Width         int
	Right, Strong bool
	Write         bool // an empty cell is a place to write
}

type tableRow struct {
	Cells []string
	Note  string // under the widest cell
	Steps int64  // of the balance, of a weighing
	First bool   // of another phase than the row before
	Total bool
	Done  bool // ticked
}

// mark is the row's box.
func (r tableRow) mark() string {
	if r.Done {
		return done
	}
	return tick
}

// sheetOf lays a batch out.
func sheetOf(b *Batch) *sheet {
	s := &sheet{
		Heading: b.Heading(),
		Made:    fmt.Sprintf("Batch code %s, made on %s, by %s", blank(b.Code, 14), blank(b.Date, 14), blank("", 14)),
		Facts:   b.Facts(),
		Weights: section{"Weights", weightBlocks(b)},
		Before:  section{Name: "Before you start"},
		Steps:   section{Name: "Steps"},
	}
	for _, f := range b.findings(Stop, Fault) {
		s.Stops = append(s.Stops, Fact{strings.ToUpper(string(f.Severity)), f.String()})
	}
	for _, v := range b.Vessels {
		s.Before.add(tick, v.String())
	}
	for _, c := range b.CautionsFor(WhenBuying, WhenMaking) {
		s.Before.add(care, c.Text)
	}
	for _, one := range b.Steps {
		s.Steps.Blocks = append(s.Steps.Blocks, stepBlock(b, one))
	}
	s.Closing = []section{fillingSection(b), wearingSection(b)}
	for _, m := range b.Label.Markets() {
		s.Labels = append(s.Labels, labelSection(m))
	}
	if c := b.Cost; c != nil {
		s.Records = append(s.Records, section{strings.TrimSpace("Cost " + c.Currency), []block{{Facts: c.Facts()}}})
	}
	s.Records = append(s.Records, section{"Stability log", []block{{Text: b.Filling.Keep(), Soft: true}, {Table: logTable(b)}}})
	return s
}

// sections are all of them in order.
func (s *sheet) sections() []section {
	return slices.Concat([]section{s.Weights, s.Before, s.Steps}, s.Closing, s.Labels, s.Records)
}

func (s *section) add(mark string, texts ...string) {
	for _, t := range texts {
		s.Blocks = append(s.Blocks, block{Mark: mark, Text: t})
	}
}

func (s *section) note(text string) {
	s.Blocks = append(s.Blocks, block{Text: text, Soft: true})
}

func weightBlocks(b *Batch) []block {
	t := &grid{Tick: true, Columns: []column{{Name: "phase", Width: 7}, {Name: "ingredient"}, {Name: "% w/w", Width: 8, Right: true},
		{Name: "g", Width: 10, Right: true, Strong: true}, {Name: "lot", Width: 8, Write: true}}}
	s := section{Blocks: []block{{Table: t}}}
	made := slices.ContainsFunc(b.Weighings, func(l Weighing) bool { return l.WeighedG != nil })
	if made {
		t.Columns[3].Name = "planned g"
		t.Columns = slices.Insert(t.Columns, 4, column{Name: "weighed g", Width: 10, Right: true, Strong: true, Write: true})
	}
	row := func(r tableRow, weighed string) {
		if made {
			r.Cells = slices.Insert(r.Cells, 4, weighed)
		}
		t.Rows = append(t.Rows, r)
	}
	phase, whole, all := Phase(""), 0.0, true
	for i, l := range b.Weighings {
		name, steps := b.toWeigh(i)
		row(tableRow{Cells: []string{string(l.Phase), name, percentText(l.Percent), b.Format(steps), l.Lot},
			Note: l.Note, Steps: steps, First: phase != "" && l.Phase != phase, Done: l.WeighedG != nil}, b.asWeighed(i))
		phase = l.Phase
		if all = all && l.WeighedG != nil; all {
			whole += *l.WeighedG
		}
	}
	weighed := ""
	if all {
		weighed = b.netOf(whole)
	}
	row(tableRow{Cells: []string{"", "total", "100", b.Format(b.TotalSteps), ""}, Total: true}, weighed)
	for _, n := range b.AsMade {
		s.Blocks = append(s.Blocks, block{Text: n, Strong: true})
	}
	for _, p := range b.Premixes {
		s.note("Premix: " + p.String())
	}
	for _, n := range b.Notes {
		s.note("Note: " + n)
	}
	return s.Blocks
}

func stepBlock(b *Batch, s Step) block {
	out := block{Mark: tick, Text: fmt.Sprintf("%d. %s", s.Number, s.Heading()), Strong: true, Under: []block{{Text: strings.Join(s.Do, " ")}}}
	for _, w := range s.Weights {
		name := w.Name
		if w.Part != "" {
			name += ", " + w.Part
		}
		put := block{Mark: tick, Text: name, Value: b.Format(w.Steps) + " g"}
		if weighed := b.asWeighed(w.Line); weighed != "" {
			put.Mark = done
			if _, steps := b.toWeigh(w.Line); w.Part == "" && weighed != b.Format(steps) {
				put.Text += ", weighed " + weighed + " g, planned"
			}
		}
		out.Under = append(out.Under, put)
	}
	for _, r := range s.Readings {
		out.Under = append(out.Under, block{Text: strings.TrimSpace(r.What + ": " + blank(r.Value, 7) + " " + r.Unit)})
	}
	return out
}

func fillingSection(b *Batch) section {
	s := section{Name: "Filling"}
	s.add("", b.Filling.String())
	if f := b.Suspension; f != nil {
		s.add("", f.Text)
		s.add(point, f.Remedies...)
	}
	for _, f := range b.Powders {
		s.add(point, f.String())
	}
	return s
}

func wearingSection(b *Batch) section {
	s := section{Name: "Wearing and selling"}
	for _, c := range b.CautionsFor(WhenFilling, WhenSelling, WhenWearing) {
		s.add(care, c.Text)
	}
	for _, f := range b.findings(Advice, Note) {
		s.add(point, f.String())
	}
	return s
}

func labelSection(m NamedLabel) section {
	s := section{Name: "Label, " + m.Name + " (" + m.Text.Source + ")"}
	s.Blocks = append(s.Blocks, block{Text: m.Text.Product + "   " + m.Text.Net, Strong: true})
	s.add("", m.Text.Ingredients)
	s.add("", m.Text.Lines...)
	s.add("", strings.Join(m.Text.Cautions, " "))
	for _, d := range m.Text.Draft {
		s.Blocks = append(s.Blocks, block{Text: "DRAFT: " + d + ".", Strong: true})
	}
	for _, n := range m.Text.Notes {
		s.note("Not printed: " + n)
	}
	return s
}

func logTable(b *Batch) *grid {
	t := &grid{Columns: []column{{Name: "day", Width: 3, Right: true}, {Name: "place", Width: 15}}}
	for _, l := range b.Log[0].Looks {
		t.Columns = append(t.Columns, column{Name: l, Write: true})
	}
	for _, r := range b.Log {
		t.Rows = append(t.Rows, tableRow{Cells: append([]string{fmt.Sprint(r.Day), r.Place}, make([]string, len(r.Looks))...)})
	}
	return t
}

// names are the columns'.
func (t *grid) names() []string {
	out := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		out[i] = c.Name
	}
	return out
}

// lines breaks a row's cells, and lays them out by line.
func (t *grid) lines(cells []string, wrap func(column int, text string) []string) [][]string {
	var out [][]string
	for i, c := range cells {
		for n, part := range wrap(i, c) {
			if n == len(out) {
				out = append(out, make([]string, len(cells)))
			}
			out[n][i] = part
		}
	}
	return out
}

// widths are the columns' in letters, where the whole table has so many, with
// a gap between two.
func (t *grid) widths(all, gap int) []int {
	rest, share := all-gap*(len(t.Columns)-1), 0
	for _, c := range t.Columns {
		rest -= c.Width
		if c.Width == 0 {
			share++
		}
	}
	out := make([]int, len(t.Columns))
	for i, c := range t.Columns {
		if out[i] = c.Width; c.Width == 0 {
			out[i] = rest / share
		}
	}
	return out
}

// blank is the text, or a line of n letters to write on.
func blank(s string, n int) string {
	if s == "" {
		return strings.Repeat("_", n)
	}
	return s
}
