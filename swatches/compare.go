package swatches

import (
	"fmt"

	"tawny/colour"
	"tawny/colour/canvas"
)

// Compare sets versions of one look beside each other, such as a warm and a
// cool one: the same skin and coverages, one row of colours to each version
// so that like touches like.
type Compare struct {
	Title, Note, Date string
	Versions          []*Card // 2 or 3; each one's Title names it
}

// Check reports the first thing that cannot be drawn.
func (c *Compare) Check() error {
	if n := len(c.Versions); n < 2 || n > 3 {
		return fmt.Errorf("the comparison has %d versions; 2 or 3 are accepted", n)
	}
	for i, v := range c.Versions {
		if err := v.Check(); err != nil {
			return fmt.Errorf("version %q: %w", v.Title, err)
		}
		if first := c.Versions[0]; i > 0 {
			if v.Skin.Lab != first.Skin.Lab || v.viewing() != first.viewing() {
				return fmt.Errorf("version %q has another skin or light than %q; the same is accepted", v.Title, first.Title)
			}
			if len(v.Coverages) != len(first.Coverages) || v.Matched != first.Matched {
				return fmt.Errorf("version %q has other coverages than %q; the same are accepted", v.Title, first.Title)
			}
			if (v.Target == nil) != (first.Target == nil) {
				return fmt.Errorf("only one of %q and %q has a target; both or neither is accepted", v.Title, first.Title)
			}
		}
	}
	return nil
}

// Draw lays the comparison out: head, a grid of colours, then a column of
// numbers and powders for each version.
func (c *Compare) Draw(cv canvas.Canvas) {
	w, h := cv.Size()
	page := canvas.Box{W: w, H: h}.Inset(margin)
	head, rest := page.CutTop(headHeight)
	drawHead(cv, head, c.Title, c.Note, c.Date, c.Versions[0].Source)
	foot, rest := rest.CutBottom(c.footHeight(rest.W))
	_, rest = rest.CutBottom(1)
	// The colours get what the words leave, and never less than two fifths, or
	// nearly half on a wide page, whose words are smaller.
	least := 0.40
	if w > h {
		least = 0.47
	}
	words := 0.0
	for i := range c.Versions {
		words = max(words, c.versionHeight(rest.Column(i, len(c.Versions), gutter), i, w > h))
	}
	grid, text := rest.CutTop(max(rest.H*least, rest.H-words-2))
	c.drawGrid(cv, grid)
	_, text = text.CutTop(2)
	n := len(c.Versions)
	for i := range c.Versions {
		c.drawVersion(cv, text.Column(i, n, gutter), i)
	}
	c.drawFoot(cv, foot)
}

// drawGrid paints bare skin at the left, then target and coverages of each
// version in its own row.
func (c *Compare) drawGrid(cv canvas.Canvas, b canvas.Box) {
	first := c.Versions[0]
	names, b := b.CutLeft(15)
	names.W -= 2
	columns := []string{"bare skin"}
	if first.Target != nil {
		columns = append(columns, "target")
	}
	for _, v := range first.Coverages {
		columns = append(columns, v.Name+" "+amount(v.MgPerCM2))
	}
	heads, b := b.CutTop(bodyText * 2.3)
	unit, names := names.CutTop(bodyText * 2.3)
	canvas.Fit(cv, unit, "product, mg/cm²", noteStyle, canvas.Left)
	pointers, b := b.CutBottom(3.2)
	_, names = names.CutBottom(3.2)
	for i, s := range columns {
		col := heads.Column(i, len(columns), 0)
		col.W -= 1
		canvas.Fit(cv, col, s, noteStyle.In(ink), canvas.Left)
	}
	rows := len(c.Versions)
	for i, v := range c.Versions {
		row := b.Row(i, rows, 0)
		canvas.Fit(cv, names.Row(i, rows, 0), v.Title, headStyle, canvas.Left)
		c.drawLooks(cv, row, i, len(columns))
	}
	if first.Target != nil {
		drawPointer(cv, pointers.Column(2+first.Matched, len(columns), 0))
	}
}

// drawLooks paints one version's row: bare skin, target, coverages, and under
// a strip of them in even light the arm, where there are films. The target has
// no film and stays flat.
func (c *Compare) drawLooks(cv canvas.Canvas, row canvas.Box, i, columns int) {
	v := c.Versions[i]
	skin, _ := v.screen(v.Skin.Lab)
	cv.Fill(row, skin)
	k := 1
	if v.Target != nil {
		rgb, _ := v.screen(v.Target.Lab)
		cv.Fill(row.Column(k, columns, 0), rgb)
		k++
	}
	first := k
	for _, g := range v.Coverages {
		rgb, _ := v.screen(g.Lab)
		cv.Fill(row.Column(k, columns, 0), rgb)
		k++
	}
	films := v.films()
	if films == nil {
		return
	}
	arm, _ := row.CutBottom(row.H * (1 - compareEven))
	drawArm(cv, arm.Column(0, columns, 0), films[:1], v.Scene, v.viewing(), v.Seed)
	worn := arm.Column(first, columns, 0)
	worn.W *= float64(len(v.Coverages))
	drawArm(cv, worn, films[1:], v.Scene, v.viewing(), v.Seed+1)
	drawScale(cv, arm.Column(0, columns, 0), skin)
}

// compareEven is the part of a row that keeps the flat colours.
const compareEven = 0.3

// drawVersion writes one version's numbers at the matched coverage and what to
// weigh for it.
func (c *Compare) drawVersion(cv canvas.Canvas, b canvas.Box, i int) {
	v := c.Versions[i]
	var row canvas.Box
	row, b = b.CutTop(headStyle.LineHeight() * 1.2)
	canvas.Fit(cv, row, v.Title, headStyle, canvas.Left)
	lines := v.versionLines()
	table, st := b, bodyStyle
	if w, h := cv.Size(); w > h { // room for the powders at the side
		table, b = b.CutRight(b.W * versionTable)
		b.W -= gutter
		st = besideStyle
	}
	for _, s := range lines {
		used := canvas.Paragraph(cv, b, s, st, canvas.Left)
		_, b = b.CutTop(used)
	}
	if table.X == b.X {
		_, table = b.CutTop(1)
	}
	v.drawPowdersAt(cv, table, c.tableStyle(table))
}

// versionLines are a version's numbers at the matched coverage.
func (v *Card) versionLines() (lines []string) {
	at := v.Coverages[v.Matched]
	if v.Target != nil {
		lines = append(lines, "target "+labText(v.Target.Lab))
	}
	lines = append(lines, at.Name+" "+labText(at.Lab))
	if v.Target != nil {
		de := colour.DeltaE00(v.Target.Lab, at.Lab)
		lines = append(lines, "ΔE00\u00a0"+number(de, 1)+", "+colour.DifferenceWords(de, v.Skin.Lab.L))
	}
	if v.Undertone != "" {
		lines = append(lines, v.Undertone)
	}
	if s := v.Sparkle; s.None {
		lines = append(lines, "no flakes")
	} else if s.Word != "" {
		lines = append(lines, s.Word+", "+count(s.PerCM2)+" glints per cm²")
	}
	return lines
}

// versionHeight is the height a version's words and powders take at full size,
// mm.
func (c *Compare) versionHeight(b canvas.Box, i int, beside bool) float64 {
	v := c.Versions[i]
	width, table, st := b.W, b.W, bodyStyle
	if beside {
		table = b.W * versionTable
		width -= table + gutter
		st = besideStyle
	}
	text := 0.0
	for _, s := range v.versionLines() {
		text += float64(len(canvas.Wrap(s, st, width))) * st.LineHeight()
	}
	powders := v.powdersHeight(table)
	if beside {
		return headStyle.LineHeight()*1.2 + max(text, powders)
	}
	return headStyle.LineHeight()*1.2 + text + 1 + powders
}

// besideStyle is the size of a version's numbers where powders stand beside them.
var besideStyle = noteStyle.In(ink).Sized(2.4)

// versionTable is the part of a version's width that its powders take on a wide
// page.
const versionTable = 0.55

// tableStyle is the size of text at which every version's powders fit a table
// as wide and high as b, so that the tables match.
func (c *Compare) tableStyle(b canvas.Box) canvas.Style {
	st := bodyStyle
	for _, v := range c.Versions {
		st = v.fitPowders(b, st)
	}
	return st
}

// footLines say how far apart the versions are, under what light, and what the
// picture is.
func (c *Compare) footLines() []string {
	first := c.Versions[0]
	from := first.Coverages[first.Matched].Lab
	text := ""
	for _, v := range c.Versions[1:] {
		to := v.Coverages[v.Matched].Lab
		de := colour.DeltaE00(from, to)
		text += v.Title + " against " + first.Title + ": ΔE00\u00a0" + number(de, 1) + ", " + colour.DifferenceWords(de, first.Skin.Lab.L)
		if t := colour.TurnWords(from, to); t != "" {
			text += " (" + t + ")"
		}
		text += ". "
	}
	lines := []string{text + "Light: " + first.lightWords() + "."}
	for _, v := range c.Versions {
		if v.Skin.Film != nil {
			return append(lines, armWords)
		}
	}
	return lines
}

func (c *Compare) footHeight(width float64) float64 {
	rows := 0
	for _, s := range c.footLines() {
		rows += len(canvas.Wrap(s, noteStyle, width))
	}
	return 1.5 + float64(rows)*noteStyle.LineHeight() + 0.01
}

func (c *Compare) drawFoot(cv canvas.Canvas, b canvas.Box) {
	rule(cv, b)
	_, b = b.CutTop(1.5)
	for _, s := range c.footLines() {
		used := canvas.Paragraph(cv, b, s, noteStyle, canvas.Left)
		_, b = b.CutTop(used)
	}
}
