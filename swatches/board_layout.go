package swatches

import (
	"math"

	"tawny/colour/canvas"
)

// Heights of a board's parts, mm.
const (
	columnNames  = 7.0
	rowsGap      = 3.0
	boardRibbon  = 15.0 // what a row's colours need to be judged
	boardFoot    = 2.0  // between the last row and what stands under it
	wordsGap     = 0.8  // between a row's numbers and its words
	ribbonTarget = 0.2  // part of it that the target takes
	longestBoard = 420  // the long side of A3
)

// Paper returns the paper made longer, where it must be, to hold everything
// that stands on the board at full size, or an eighth less once it is longer
// than an upright card by a third: a strip of many skins is as long as it
// needs, up to the long side of A3.
func (b *Board) Paper(p Paper) Paper {
	p = p.filled()
	if b.fits(p.WidthMM, p.HeightMM) || p.HeightMM >= longestBoard {
		return p
	}
	short, long := p.HeightMM, float64(longestBoard)
	for long-short > 1 {
		if mid := (short + long) / 2; b.fits(p.WidthMM, mid) {
			long = mid
		} else {
			short = mid
		}
	}
	p.HeightMM = math.Ceil(long)
	return p
}

// fits reports whether the board's text is full size, or nearly, on a page.
func (b *Board) fits(w, h float64) bool {
	l := b.frame(w, h)
	if l.table.Size < 0.9*bodyText {
		return false
	}
	least := noteText
	if h > 200 {
		least *= 7.0 / 8
	}
	l.setRows(b, noteStyle.In(ink).Sized(least))
	return l.ribbon >= boardRibbon
}

// boardLayout is where a board's parts stand and how large its text is.
type boardLayout struct {
	names, rows          canvas.Box
	powders, foot        canvas.Box
	table, note, numbers canvas.Style
	ribbon               float64   // height of each row's colours, mm
	text                 []rowText // of each row
}

// layout fits the board on a page: head, names of the columns and rows, with
// powders and remarks under them, or beside them on a wide page. Where the page
// is too small the text gets smaller, and what is told apart by it stays whole.
func (b *Board) layout(w, h float64) boardLayout {
	l := b.frame(w, h)
	for k := 1.0; ; k *= 0.97 {
		l.setRows(b, noteStyle.In(ink).Sized(noteText*k))
		if l.ribbon >= min(boardRibbon, 0.35*l.rows.H/float64(len(b.Rows))) || k < 0.35 {
			return l
		}
	}
}

// setRows gives the rows' text a size and the colours what height is left.
func (l *boardLayout) setRows(b *Board, st canvas.Style) {
	n := float64(len(b.Rows))
	l.numbers, l.text = st, l.text[:0]
	sum := n*headStyle.LineHeight() + (n-1)*rowsGap
	for i := range b.Rows {
		t := b.rowText(i, l.rows.W, st)
		l.text = append(l.text, t)
		sum += t.height
	}
	l.ribbon = (l.rows.H - sum) / n
}

// frame fits everything but the rows.
func (b *Board) frame(w, h float64) (l boardLayout) {
	_, whole := page(w, h)
	beside := w > h && b.Blend != nil
	most := 0.45 * whole.H
	if beside {
		most = whole.H
	}
	for k := 1.0; ; k *= 0.97 {
		l.note, l.table = noteStyle.Sized(noteText*k), bodyStyle.Sized(bodyText*k)
		page, side := whole, whole
		if beside {
			side, page = whole.CutRight(whole.W * 0.38)
			_, side = side.CutLeft(gutter)
		}
		foot, table := b.facts().footHeight(side.W, l.note), 0.0
		if b.Blend != nil {
			table = ruleGap + b.Blend.table(side.W, l.table).height + 1
		}
		l.foot, l.powders = side.CutBottom(foot)
		if !beside {
			l.powders, page = l.powders.CutBottom(table)
			_, page = page.CutBottom(boardFoot)
		}
		l.names, l.rows = page.CutTop(columnNames)
		if foot+table <= most || k < 0.35 {
			return l
		}
	}
}

// Draw lays the board out: head, column names, then each row's name, colours
// and numbers, with the powders and remarks.
func (b *Board) Draw(cv canvas.Canvas) {
	l := b.layout(cv.Size())
	b.Heading.draw(cv)
	drawColumnNames(cv, l.names, append([]string{"bare skin"}, b.Columns...), noteStyle.In(ink).Strong())
	rest := l.rows
	for i, t := range l.text {
		var row canvas.Box
		row, rest = rest.CutTop(headStyle.LineHeight() + l.ribbon + t.height)
		_, rest = rest.CutTop(rowsGap)
		title, row := row.CutTop(headStyle.LineHeight())
		ribbon, text := row.CutTop(l.ribbon)
		b.drawRowName(cv, title, i)
		b.drawRowColours(cv, ribbon, i)
		t.draw(cv, text, l.numbers)
	}
	if b.Blend != nil {
		b.Blend.draw(cv, l.powders, b.Blend.fit(l.powders, l.table))
	}
	b.facts().drawFoot(cv, l.foot, l.note)
}

// drawRowColours paints a row's target and colours.
func (b *Board) drawRowColours(cv canvas.Canvas, ribbon canvas.Box, i int) {
	c := b.Rows[i].card(b)
	c.Seed = b.Seed + uint64(i)<<8
	if c.Target != nil {
		var band canvas.Box
		band, ribbon = ribbon.CutTop(ribbon.H * ribbonTarget)
		c.paint(cv, band, c.Target.Lab)
	}
	c.drawColours(cv, ribbon)
}

// drawRowName sets a row's name and, at the right, what does not hold for all
// rows.
func (b *Board) drawRowName(cv canvas.Canvas, title canvas.Box, i int) {
	r := &b.Rows[i]
	right := ""
	if _, ok := b.oneTarget(); r.Target != nil && !ok {
		right = "top band: target"
		if r.Target.Name != "" {
			right += ", " + r.Target.Name
		}
	}
	if !b.oneLight() {
		if right != "" {
			right += " · "
		}
		right += r.card(b).lightWords()
	}
	name, beside := title.CutLeft(min(canvas.Width(canvas.Clean(r.Name), headStyle)+0.1, title.W*0.6))
	_, beside = beside.CutLeft(columnGap)
	canvas.Fit(cv, name, r.Name, headStyle, canvas.Left)
	canvas.Line(cv, beside, right, noteStyle, canvas.Right)
}
