package swatches

import (
	"fmt"
	"math"

	"tawny/colour"
	"tawny/swatches/canvas"
	"tawny/swatches/shimmer"
)

// Board is a table of looks with the bare skin at the head of every row: a
// strip of loads or of coverages is one row, blends against skins one row for
// each skin, daylight and stage one row for each light.
type Board struct {
	Title, Note, Date, Source string

	Columns []string // what differs along a row, such as "2 %"; the bare skin's is not among them
	Rows    []BoardRow
	Scene   shimmer.Scene
	Seed    uint64
	Remarks []string
}

// BoardRow is one skin under one light.
type BoardRow struct {
	Name    string
	Viewing *colour.Viewing // of every Lab in the row; nil is D65/2
	Skin    Patch
	Target  *Patch
	Looks   []Look // one for each column
}

// Look is one blend worn one way.
type Look struct {
	Lab   colour.Lab
	Film  *shimmer.Film // nil for a flat colour
	Words []string      // further lines under the numbers
}

// What a board has room for.
const (
	MaxBoardRows    = 6
	MaxBoardColumns = 8
)

// Check reports the first thing about the board that cannot be drawn.
func (b *Board) Check() error {
	if n := len(b.Rows); n < 1 || n > MaxBoardRows {
		return fmt.Errorf("the board has %d rows; 1 to %d are accepted", n, MaxBoardRows)
	}
	if n := len(b.Columns); n < 1 || n > MaxBoardColumns {
		return fmt.Errorf("the board has %d columns; 1 to %d are accepted", n, MaxBoardColumns)
	}
	for i := range b.Rows {
		r := &b.Rows[i]
		if len(r.Looks) != len(b.Columns) {
			return fmt.Errorf("row %q has %d looks for %d columns", r.Name, len(r.Looks), len(b.Columns))
		}
		// A row is a card without its table.
		c := r.card(b.Scene)
		if err := checkLab("skin", c.Skin.Lab); err != nil {
			return fmt.Errorf("row %q: %w", r.Name, err)
		}
		if c.Target != nil {
			if err := checkLab("target", c.Target.Lab); err != nil {
				return fmt.Errorf("row %q: %w", r.Name, err)
			}
		}
		for k, v := range c.Coverages {
			if err := checkLab(b.Columns[k], v.Lab); err != nil {
				return fmt.Errorf("row %q: %w", r.Name, err)
			}
		}
		if err := c.checkFilms(); err != nil {
			return fmt.Errorf("row %q: %w", r.Name, err)
		}
	}
	return nil
}

// card is the row as a card's ribbon.
func (r *BoardRow) card(s shimmer.Scene) *Card {
	c := &Card{Viewing: r.Viewing, Skin: r.Skin, Target: r.Target, Scene: s}
	for _, l := range r.Looks {
		c.Coverages = append(c.Coverages, Coverage{Lab: l.Lab, Film: l.Film})
	}
	return c
}

// Draw lays the board out: head, column names, then each row's name, colours
// and numbers.
func (b *Board) Draw(cv canvas.Canvas) {
	w, h := cv.Size()
	page := canvas.Box{W: w, H: h}.Inset(margin)
	head, rest := page.CutTop(headHeight)
	drawHead(cv, head, b.Title, b.Note, b.Date, b.Source)
	if len(b.Remarks) > 0 {
		rows := 0
		for _, s := range b.Remarks {
			rows += len(canvas.Wrap(s, noteStyle, rest.W))
		}
		var foot canvas.Box
		foot, rest = rest.CutBottom(1.5 + float64(min(rows, 6))*noteStyle.LineHeight())
		rule(cv, foot)
		_, foot = foot.CutTop(1.5)
		for _, s := range b.Remarks {
			used := canvas.Paragraph(cv, foot, s, noteStyle, canvas.Left)
			_, foot = foot.CutTop(used)
		}
	}
	names, rest := rest.CutTop(7)
	n := len(b.Columns) + 1
	for i, s := range append([]string{"bare skin"}, b.Columns...) {
		col := names.Column(i, n, 0)
		col.W -= 1
		canvas.Fit(cv, col, s, noteStyle.In(ink).Strong(), canvas.Left)
	}
	for i := range b.Rows {
		b.drawRow(cv, rest.Row(i, len(b.Rows), 2.5), i)
	}
}

// drawRow paints one row's colours, and under an even strip of them the arm.
func (b *Board) drawRow(cv canvas.Canvas, box canvas.Box, i int) {
	r := &b.Rows[i]
	c := r.card(b.Scene)
	title, box := box.CutTop(headStyle.LineHeight())
	name := r.Name
	if r.Target != nil {
		name += ", top band: target"
		if r.Target.Name != "" {
			name += " " + r.Target.Name
		}
	}
	left, right := title.CutLeft(math.Min(canvas.Width(name, headStyle)+0.1, title.W*0.6))
	_, right = right.CutLeft(2)
	canvas.Fit(cv, left, name, headStyle, canvas.Left)
	canvas.Fit(cv, right, c.lightWords(), noteStyle, canvas.Right)

	compact := box.W/float64(len(r.Looks)+1) > 20
	lines := make([][]string, len(r.Looks)+1)
	lines[0] = c.numberLines(r.Skin.Lab, compact)
	most := len(lines[0])
	for k, l := range r.Looks {
		lines[k+1] = c.numberLines(l.Lab, compact)
		if r.Target != nil {
			de := colour.DeltaE00(r.Target.Lab, l.Lab)
			lines[k+1] = append(lines[k+1], "ΔE00 "+number(de, 1), colour.DifferenceWords(de))
		}
		lines[k+1] = append(lines[k+1], l.Words...)
		most = max(most, len(lines[k+1]))
	}
	st := noteStyle.In(ink)
	room := box.H * 0.55
	for float64(most)*st.LineHeight() > room && st.Size > 1.4 {
		st.Size *= 0.97
	}
	text, ribbon := box.CutBottom(float64(most)*st.LineHeight() + 1)
	c.Seed = b.Seed + uint64(i)<<8
	if r.Target != nil {
		// The target's name stands in the row's own words; its colour touches all.
		var band canvas.Box
		band, ribbon = ribbon.CutTop(ribbon.H * 0.2)
		rgb, _ := c.screen(r.Target.Lab)
		cv.Fill(band, rgb)
	}
	c.drawColours(cv, ribbon)
	_, text = text.CutTop(1)
	n := len(lines)
	for k, list := range lines {
		col := text.Column(k, n, 0)
		if k < n-1 {
			col.W -= columnGap
		}
		for _, s := range list {
			var row canvas.Box
			row, col = col.CutTop(st.LineHeight())
			canvas.Line(cv, row, s, st, canvas.Left)
		}
	}
}

// numberLines writes a colour on three lines, or on two where they are long
// enough.
func (c *Card) numberLines(l colour.Lab, compact bool) []string {
	lines := []string{"L* " + number(l.L, 1), "a* " + number(l.A, 1), "b* " + number(l.B, 1)}
	if compact {
		lines = []string{lines[0], lines[1] + ", " + lines[2]}
	}
	if _, in := c.screen(l); !in {
		lines = append(lines, "off screen")
	}
	return lines
}
