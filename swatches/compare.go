package swatches

import (
	"fmt"
	"slices"

	"tawny/colour"
	"tawny/colour/canvas"
)

// Compare sets versions of one look beside each other, such as a warm and a
// cool one: the same skin and coverages, one row of colours to each version
// so that like touches like. Its head says how the first one's colours were
// found.
type Compare struct {
	Heading
	Versions []*Card // 2 or 3; each one's Title names it
}

// Check reports the first thing that cannot be drawn.
func (c *Compare) Check() error {
	if n := len(c.Versions); n < 2 || n > 3 {
		return fmt.Errorf("the comparison has %d versions; 2 or 3 are accepted", n)
	}
	first := c.Versions[0]
	for _, v := range c.Versions {
		if err := v.Check(); err != nil {
			return fmt.Errorf("version %q: %w", v.Title, err)
		}
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
	return nil
}

// Draw lays the comparison out: head, a grid of colours, then a column of
// numbers and powders for each version.
func (c *Compare) Draw(cv canvas.Canvas) {
	head := c.Heading
	head.Source = c.Versions[0].Source
	rest := head.draw(cv)
	foot, rest := rest.CutBottom(c.facts().footHeight(rest.W, noteStyle))
	_, rest = rest.CutBottom(1)
	// The colours get what the words leave, and never less than two fifths, or
	// nearly half on a wide page, whose words are smaller.
	w, h := cv.Size()
	least, n := 0.40, len(c.Versions)
	if w > h {
		least = 0.47
	}
	words := 0.0
	for i, v := range c.Versions {
		words = max(words, v.version(rest.Column(i, n, gutter), w > h).height)
	}
	grid, text := rest.CutTop(max(rest.H*least, rest.H-words-2))
	c.drawGrid(cv, grid)
	_, text = text.CutTop(2)
	for i, v := range c.Versions {
		v.drawVersion(cv, v.version(text.Column(i, n, gutter), w > h), c.Versions)
	}
	c.facts().drawFoot(cv, foot, noteStyle)
}

// drawGrid paints bare skin at the left, then target and coverages of each
// version in its own row.
func (c *Compare) drawGrid(cv canvas.Canvas, b canvas.Box) {
	first := c.Versions[0]
	names, b := b.CutLeft(15)
	names.W -= columnGap
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
	drawColumnNames(cv, heads, columns, noteStyle.In(ink))
	rows := len(c.Versions)
	for i, v := range c.Versions {
		canvas.Fit(cv, names.Row(i, rows, 0), v.Title, headStyle, canvas.Left)
		v.drawLooks(cv, b.Row(i, rows, 0), len(columns))
	}
	if first.Target != nil {
		drawPointer(cv, pointers.Column(2+first.Matched, len(columns), 0))
	}
}

// drawLooks paints one version's row: bare skin, target, coverages, and under
// a strip of them in even light the arm, where there are films. The target has
// no film and stays flat.
func (c *Card) drawLooks(cv canvas.Canvas, row canvas.Box, columns int) {
	c.paint(cv, row, c.Skin.Lab)
	first := columns - len(c.Coverages)
	if c.Target != nil {
		c.paint(cv, row.Column(1, columns, 0), c.Target.Lab)
	}
	for i, g := range c.Coverages {
		c.paint(cv, row.Column(first+i, columns, 0), g.Lab)
	}
	films := c.films()
	if films == nil {
		return
	}
	arm, _ := row.CutBottom(row.H * (1 - compareEven))
	skin, worn := arm.Column(0, columns, 0), arm.Column(first, columns, 0)
	c.drawArm(cv, skin, films[:1], c.Seed)
	worn.W *= float64(len(c.Coverages))
	c.drawArm(cv, worn, films[1:], c.Seed+1)
	c.drawScale(cv, skin)
}

// compareEven is the part of a row that keeps the flat colours.
const compareEven = 0.3

// versionLayout is where a version's name, numbers and powders stand.
type versionLayout struct {
	name, text, table canvas.Box
	style             canvas.Style // of the numbers
	height            float64      // what they take at full size, mm
}

// version lays out a version's words: the powders under the numbers, or at
// their side on a wide page, where the numbers are smaller.
func (c *Card) version(b canvas.Box, wide bool) (l versionLayout) {
	l.name, l.text = b.CutTop(headStyle.LineHeight() * 1.2)
	l.style = bodyStyle
	if wide {
		l.style = noteStyle.In(ink).Sized(2.4)
		l.table, l.text = l.text.CutRight(l.text.W * 0.55)
		l.text.W -= gutter
		l.height = l.name.H + max(c.matched().height(l.text.W, l.style), c.Blend.height(l.table.W))
		return l
	}
	words := c.matched().height(l.text.W, l.style)
	_, l.table = l.text.CutTop(words + 1)
	l.height = l.name.H + words + 1 + c.Blend.height(l.table.W)
	return l
}

// drawVersion writes a version's numbers at the matched coverage and what to
// weigh for it, at the size at which every version's powders fit, so that the
// tables match.
func (c *Card) drawVersion(cv canvas.Canvas, l versionLayout, all []*Card) {
	canvas.Fit(cv, l.name, c.Title, headStyle, canvas.Left)
	c.matched().draw(cv, l.text, l.style)
	st := bodyStyle
	for _, v := range all {
		st = v.Blend.fit(l.table, st)
	}
	c.Blend.draw(cv, l.table, st)
}

// matched are the numbers at the matched coverage.
func (c *Card) matched() (lines paragraphs) {
	at := c.Coverages[c.Matched]
	if c.Target != nil {
		lines = append(lines, "target "+labText(c.Target.Lab))
	}
	lines = append(lines, at.Name+" "+labText(at.Lab))
	if c.Target != nil {
		lines = append(lines, differenceText(c.Target.Lab, at.Lab, c.Skin.Lab.L))
	}
	if c.Undertone != "" {
		lines = append(lines, c.Undertone)
	}
	return append(lines, c.Sparkle.short("glints per cm²")...)
}

// facts say how far apart the versions are, under what light, and what the
// picture is.
func (c *Compare) facts() paragraphs {
	first := c.Versions[0]
	from := first.Coverages[first.Matched].Lab
	text := ""
	for _, v := range c.Versions[1:] {
		to := v.Coverages[v.Matched].Lab
		text += v.Title + " against " + first.Title + ": " + differenceText(from, to, first.Skin.Lab.L)
		if t := colour.TurnWords(from, to); t != "" {
			text += " (" + t + ")"
		}
		text += ". "
	}
	lines := paragraphs{text + "Light: " + first.lightWords() + "."}
	if slices.ContainsFunc(c.Versions, func(v *Card) bool { return v.Skin.Film != nil }) {
		lines = append(lines, armWords)
	}
	return lines
}
