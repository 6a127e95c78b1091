package swatches

import (
	"slices"

	"tawny/colour"
	"tawny/colour/canvas"
)

// facts are the lines at the foot: what holds for every row, and the remarks.
func (b *Board) facts() (lines paragraphs) {
	first := &b.Rows[0]
	if b.oneLight() {
		lines = append(lines, "Light: "+first.card(b).lightWords())
	}
	if name, ok := b.oneTarget(); ok {
		s := "Top band: target"
		if name != "" {
			s += ", " + name
		}
		if len(b.Rows) == 1 {
			s += " (" + labText(first.Target.Lab) + ")"
		}
		lines = append(lines, s)
	}
	if slices.ContainsFunc(b.Rows, func(r BoardRow) bool { return r.Skin.Film != nil }) {
		s := armWords
		if _, ok := b.oneTarget(); ok {
			s = "Below it: " + armWords[len("Top: "):]
		}
		lines = append(lines, s)
	}
	return append(lines, b.Remarks...)
}

func (b *Board) oneLight() bool {
	return !slices.ContainsFunc(b.Rows, func(r BoardRow) bool { return viewing(r.Viewing) != viewing(b.Rows[0].Viewing) })
}

// oneTarget returns the target's name where every row that has one has the
// same.
func (b *Board) oneTarget() (name string, ok bool) {
	for i := range b.Rows {
		t := b.Rows[i].Target
		switch {
		case t == nil:
		case !ok:
			name, ok = t.Name, true
		case t.Name != name:
			return "", false
		}
	}
	return name, ok
}

// rowText is what stands under a row's colours, broken into lines.
type rowText struct {
	columns [][]string // under each colour
	words   []string   // under them all
	numbers float64    // height of the columns, mm
	height  float64    // of everything, mm
}

// rowText breaks the text of row i to a width.
func (b *Board) rowText(i int, width float64, st canvas.Style) (t rowText) {
	r := &b.Rows[i]
	column := width/float64(len(r.Looks)+1) - columnGap
	add := func(l colour.Lab, more ...string) {
		lines := paragraphs(numbers(l, column > 18*st.Size/noteText))
		if _, in := viewing(r.Viewing).Screen(l); !in {
			lines = append(lines, "off screen")
		}
		t.columns = append(t.columns, append(lines, more...).wrapped(column, st))
		t.numbers = max(t.numbers, float64(len(t.columns[len(t.columns)-1]))*st.LineHeight())
	}
	add(r.Skin.Lab)
	for _, k := range r.Looks {
		var more []string
		if r.Target != nil {
			de := colour.DeltaE00(r.Target.Lab, k.Lab)
			more = append(more, "ΔE00\u00a0"+number(de, 1), colour.DifferenceWords(de, r.Skin.Lab.L))
		}
		add(k.Lab, append(append(more, k.Sparkle.short("glints/cm²")...), k.Words...)...)
	}
	t.words = paragraphs(r.Words).wrapped(width, st)
	t.height = 1 + t.numbers + float64(len(t.words))*st.LineHeight() + 0.01
	if len(t.words) > 0 {
		t.height += wordsGap
	}
	return t
}

func (t *rowText) draw(cv canvas.Canvas, text canvas.Box, st canvas.Style) {
	_, text = text.CutTop(1)
	numbers, words := text.CutTop(t.numbers)
	for k, lines := range t.columns {
		drawLines(cv, textColumn(numbers, k, len(t.columns)), lines, st)
	}
	_, words = words.CutTop(wordsGap)
	drawLines(cv, words, t.words, st)
}
