package swatches

import (
	"math"
	"slices"

	"tawny/colour"
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
	head, names, rows    canvas.Box
	powders, foot        canvas.Box
	table, note, numbers canvas.Style
	ribbon               float64   // height of each row's colours, mm
	text                 []float64 // height of the text in each row, mm
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
		sum += t
	}
	l.ribbon = (l.rows.H - sum) / n
}

// frame fits everything but the rows.
func (b *Board) frame(w, h float64) (l boardLayout) {
	page := canvas.Box{W: w, H: h}.Inset(margin)
	l.head, page = page.CutTop(headHeight)
	whole := page
	card := b.powderCard()
	beside := w > h && b.Blend != nil
	for k := 1.0; ; k *= 0.97 {
		page = whole
		l.note, l.table = noteStyle.Sized(noteText*k), bodyStyle.Sized(bodyText*k)
		side := page
		if beside {
			side, page = page.CutRight(page.W * 0.38)
			_, side = side.CutLeft(gutter)
		}
		foot := b.footHeight(side.W, l.note)
		table := 0.0
		if b.Blend != nil {
			table = tableTop + card.setPowders(side.W, l.table).height + 1
		}
		l.foot, side = side.CutBottom(foot)
		if beside {
			l.powders = side
		} else {
			l.powders, page = side.CutBottom(table)
		}
		if !beside {
			_, page = page.CutBottom(boardFoot)
		}
		l.names, l.rows = page.CutTop(columnNames)
		most := 0.45 * whole.H
		if beside {
			most = whole.H
		}
		if foot+table <= most || k < 0.35 {
			break
		}
	}
	return l
}

func (b *Board) powderCard() *Card {
	c := &Card{}
	if b.Blend != nil {
		c.Blend = *b.Blend
	}
	return c
}

// facts are the lines at the foot: what holds for every row, and the remarks.
func (b *Board) facts() (lines []string) {
	first := &b.Rows[0]
	if b.oneLight() {
		lines = append(lines, "Light: "+first.card(b.Scene).lightWords())
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
	for i := range b.Rows {
		if b.Rows[i].card(b.Scene).viewing() != b.Rows[0].card(b.Scene).viewing() {
			return false
		}
	}
	return true
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

func (b *Board) footHeight(width float64, st canvas.Style) float64 {
	rows := 0
	for _, s := range b.facts() {
		rows += len(canvas.Wrap(s, st, width))
	}
	if rows == 0 {
		return 0
	}
	return 1.5 + float64(rows)*st.LineHeight() + 0.01
}

// Draw lays the board out: head, column names, then each row's name, colours
// and numbers, with the powders and remarks.
func (b *Board) Draw(cv canvas.Canvas) {
	l := b.layout(cv.Size())
	drawHead(cv, l.head, b.Title, b.Note, b.Date, b.Source)
	n := len(b.Columns) + 1
	for i, s := range append([]string{"bare skin"}, b.Columns...) {
		col := l.names.Column(i, n, 0)
		col.W -= 1
		canvas.Fit(cv, col, s, noteStyle.In(ink).Strong(), canvas.Left)
	}
	rest := l.rows
	for i := range b.Rows {
		var row canvas.Box
		row, rest = rest.CutTop(headStyle.LineHeight() + l.ribbon + l.text[i])
		_, rest = rest.CutTop(rowsGap)
		b.drawRow(cv, row, i, &l)
	}
	if b.Blend != nil {
		c := b.powderCard()
		c.drawPowdersAt(cv, l.powders, c.fitPowders(l.powders, l.table))
	}
	if facts := b.facts(); len(facts) > 0 {
		rule(cv, l.foot)
		_, foot := l.foot.CutTop(1.5)
		for _, s := range facts {
			used := canvas.Paragraph(cv, foot, s, l.note, canvas.Left)
			_, foot = foot.CutTop(used)
		}
	}
}

// drawRow paints one row's name, its colours, and its numbers under them.
func (b *Board) drawRow(cv canvas.Canvas, box canvas.Box, i int, l *boardLayout) {
	r := &b.Rows[i]
	c := r.card(b.Scene)
	title, box := box.CutTop(headStyle.LineHeight())
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
		right += c.lightWords()
	}
	name, beside := title.CutLeft(min(canvas.Width(canvas.Clean(r.Name), headStyle)+0.1, title.W*0.6))
	_, beside = beside.CutLeft(2)
	canvas.Fit(cv, name, r.Name, headStyle, canvas.Left)
	canvas.Line(cv, beside, right, noteStyle, canvas.Right)

	ribbon, text := box.CutTop(l.ribbon)
	c.Seed = b.Seed + uint64(i)<<8
	if r.Target != nil {
		var band canvas.Box
		band, ribbon = ribbon.CutTop(ribbon.H * ribbonTarget)
		rgb, _ := c.screen(r.Target.Lab)
		cv.Fill(band, rgb)
	}
	c.drawColours(cv, ribbon)
	_, text = text.CutTop(1)
	st := l.numbers
	lists, most := b.rowLines(i, text.W, st)
	numbers, words := text.CutTop(float64(most) * st.LineHeight())
	for k, list := range lists {
		col := numbers.Column(k, len(lists), 0)
		if k < len(lists)-1 {
			col.W -= columnGap
		}
		for _, s := range list {
			var row canvas.Box
			row, col = col.CutTop(st.LineHeight())
			canvas.Line(cv, row, s, st, canvas.Left)
		}
	}
	_, words = words.CutTop(wordsGap)
	for _, s := range r.Words {
		for _, line := range canvas.Wrap(s, st, words.W) {
			var row canvas.Box
			row, words = words.CutTop(st.LineHeight())
			canvas.Line(cv, row, line, st, canvas.Left)
		}
	}
}

// rowText is the height of the text under a row's colours, mm.
func (b *Board) rowText(i int, width float64, st canvas.Style) float64 {
	_, rows := b.rowLines(i, width, st)
	gap := 0.0
	for _, s := range b.Rows[i].Words {
		rows += len(canvas.Wrap(s, st, width))
		gap = wordsGap
	}
	return 1 + gap + float64(rows)*st.LineHeight() + 0.01
}

// rowLines returns the lines under each colour of a row, broken to its width,
// and how many the longest has.
func (b *Board) rowLines(i int, width float64, st canvas.Style) (lists [][]string, most int) {
	r := &b.Rows[i]
	c := r.card(b.Scene)
	column := width/float64(len(r.Looks)+1) - columnGap
	compact := column > 18*st.Size/noteText
	wrap := func(lines []string) {
		var list []string
		for _, s := range lines {
			list = append(list, canvas.Wrap(s, st, column)...)
		}
		most = max(most, len(list))
		lists = append(lists, list)
	}
	wrap(c.numberLines(r.Skin.Lab, compact))
	for _, k := range r.Looks {
		lines := c.numberLines(k.Lab, compact)
		if r.Target != nil {
			de := colour.DeltaE00(r.Target.Lab, k.Lab)
			lines = append(lines, "ΔE00\u00a0"+number(de, 1), colour.DifferenceWords(de, r.Skin.Lab.L))
		}
		if s := k.Sparkle; s.None {
			lines = append(lines, "no flakes")
		} else if s.Word != "" {
			lines = append(lines, s.Word+", "+count(s.PerCM2)+" glints/cm²")
		}
		wrap(append(lines, k.Words...))
	}
	return lists, most
}
