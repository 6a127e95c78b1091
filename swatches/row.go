package swatches

import (
	"slices"
	"strings"

	"tawny/colour"
	"tawny/colour/canvas"
	"tawny/swatches/shimmer"
)

// Heights of the strip in even light, mm.
const (
	evenStrip   = 5.0
	targetStrip = 3.0
)

// columnStyle is that of the names over or under colours.
var columnStyle = noteStyle.In(ink).Strong()

// rowsHeight is what the rows take beside their pictures, mm.
func (c *Card) rowsHeight(width float64, under []Block) float64 {
	if len(c.Rows) == 1 {
		return c.Rows[0].stripHeight(c.Plain) + namesGap + stacked(under, width-2*margin)
	}
	h := columnNames(c.names()).height(width) + 1
	for i := range c.Rows {
		h += c.Rows[i].height(width, c.Plain, c.numbered())
		if i > 0 {
			h += c.Rows[i].gapHeight(width)
		}
	}
	return h
}

// numbered tells whether each row has its numbers under it: a board's, which are
// not set close to be compared.
func (c *Card) numbered() bool {
	return !c.Plain && !slices.ContainsFunc(c.Rows, func(r Row) bool { return r.Gap != "" })
}

const namesGap = 1.2

// height is what a board's row takes beside its picture, mm.
func (r *Row) height(width float64, plain, numbered bool) float64 {
	h := r.stripHeight(plain) + paragraphs(r.Words).height(width, noteStyle)
	if r.Name+r.Right != "" {
		h += headStyle.LineHeight()
	}
	if numbered {
		h += 1 + Numbers{Row: r}.height(width)
	}
	return h
}

func (r *Row) gapHeight(width float64) float64 {
	if r.Gap == "" {
		return rowsGap
	}
	return rowsGap + paragraphs{r.Gap}.height(width, headStyle) + 1
}

func (r *Row) stripHeight(plain bool) float64 {
	switch {
	case !r.lit() || plain:
		return 0
	case r.Target != nil:
		return evenStrip + targetStrip
	}
	return evenStrip
}

// drawRows draws the arms with their names and numbers, pictures of a height in
// mm. A single one runs from edge to edge.
func (c *Card) drawRows(cv canvas.Canvas, b canvas.Box, picture float64, under []Block) {
	if len(c.Rows) == 1 {
		r := &c.Rows[0]
		at, rest := b.CutTop(picture + r.stripHeight(c.Plain))
		c.drawScaled(cv, at, r, c.Seed)
		_, rest = rest.CutTop(namesGap)
		stack(cv, rest.InsetXY(margin, 0), under)
		return
	}
	names, b := b.CutTop(columnNames(c.names()).height(b.W) + 1)
	columnNames(c.names()).draw(cv, names)
	for i := range c.Rows {
		r := &c.Rows[i]
		if i > 0 {
			var gap canvas.Box
			gap, b = b.CutTop(r.gapHeight(b.W))
			paragraphs{r.Gap}.draw(cv, canvas.Box{X: gap.X, Y: gap.Y + 2, W: gap.W, H: gap.H}, headStyle)
		}
		if r.Name+r.Right != "" {
			var title canvas.Box
			title, b = b.CutTop(headStyle.LineHeight())
			canvas.Line(cv, title, r.Name, headStyle, canvas.Left)
			canvas.Line(cv, title, r.Right, noteStyle, canvas.Right)
		}
		var at canvas.Box
		at, b = b.CutTop(picture + r.stripHeight(c.Plain))
		c.drawScaled(cv, at, r, c.Seed+uint64(i)<<8)
		if c.numbered() {
			n := Numbers{Row: r}
			_, b = b.CutTop(1)
			at, b = b.CutTop(n.height(b.W))
			n.draw(cv, at)
		}
		b = paragraphs(r.Words).draw(cv, b, noteStyle.In(ink))
	}
}

func (c *Card) names() []string {
	var names []string
	for _, p := range c.Rows[0].patches() {
		names = append(names, p.Name)
	}
	return names
}

// columnNames are names over or under colours that touch.
type columnNames []string

func (n columnNames) height(width float64) (most float64) {
	for _, s := range n {
		most = max(most, paragraphs{s}.height(width/float64(len(n))-columnGap, columnStyle))
	}
	return most
}

func (n columnNames) draw(cv canvas.Canvas, b canvas.Box) {
	for i, s := range n {
		paragraphs{s}.draw(cv, textColumn(b, i, len(n)), columnStyle)
	}
}

// armNames are names under an arm that runs from edge to edge, each as far in
// from the edge of its own film as text is from the page's.
type armNames []string

func (n armNames) at(b canvas.Box, i int) canvas.Box {
	film := canvas.Box{X: b.X - margin, Y: b.Y, W: b.W + 2*margin, H: b.H}.Column(i, len(n), 0)
	in := min(margin, film.W/5)
	return canvas.Box{X: film.X + in, Y: film.Y, W: film.W - in, H: film.H}
}

func (n armNames) height(width float64) (most float64) {
	for i, s := range n {
		most = max(most, paragraphs{s}.height(n.at(canvas.Box{W: width}, i).W, columnStyle))
	}
	return most
}

func (n armNames) draw(cv canvas.Canvas, b canvas.Box) {
	for i, s := range n {
		paragraphs{s}.draw(cv, n.at(b, i), columnStyle)
	}
}

// drawArm draws the row's films side by side on one arm, over a strip of their
// colours in even light that the target runs along: life size, so that the
// flakes are too. Where there is no film all of it is flat.
func (c *Card) drawArm(cv canvas.Canvas, b canvas.Box, r *Row, seed uint64) {
	all := r.patches()
	if !r.lit() {
		if r.Target != nil {
			var band canvas.Box
			band, b = b.CutTop(b.H * 0.2)
			r.paint(cv, band, r.Target.Lab)
		}
		drawColours(cv, b, r, all)
		return
	}
	even, arm := b.CutBottom(r.stripHeight(c.Plain))
	if even.H > 0 {
		drawColours(cv, even, r, all)
	}
	if r.Target != nil && even.H > 0 {
		band, _ := even.CutBottom(targetStrip)
		r.paint(cv, band, r.Target.Lab)
	}
	drawColours(cv, arm, r, all) // under the picture
	w, h := cv.Pixels(arm)
	if w < len(all) || h < 1 {
		return
	}
	var films []*shimmer.Film
	for _, p := range all {
		films = append(films, p.Film)
	}
	m, err := shimmer.Arm(films, c.Rig.Scene(), shimmer.Options{Width: w, Height: h, MMPerPixel: arm.H / float64(h), Seed: seed, Viewing: r.Viewing})
	if err != nil {
		// Check has passed the films, so only a picture of more pixels than any
		// canvas holds comes here; its flat colour stays.
		return
	}
	cv.Image(arm, m)
}

// drawScaled draws an arm with its scale.
func (c *Card) drawScaled(cv canvas.Canvas, b canvas.Box, r *Row, seed uint64) {
	c.drawArm(cv, b, r, seed)
	if r.lit() {
		_, arm := b.CutBottom(r.stripHeight(c.Plain))
		r.drawScale(cv, arm.Column(0, len(r.Looks)+1, 0), c.Rig)
	}
}

// Arm is a card's first arm and nothing else, for a page of any size that says the
// rest: so it has no scale.
type Arm struct{ *Card }

// Draw fills the canvas with the arm.
func (a Arm) Draw(cv canvas.Canvas, page canvas.Box) {
	c := *a.Card
	c.Plain = true
	c.drawArm(cv, page, &c.Rows[0], c.Seed)
}

// drawColours paints colours edge to edge, which is how the eye compares best.
func drawColours(cv canvas.Canvas, b canvas.Box, r *Row, all []Patch) {
	for i, p := range all {
		r.paint(cv, b.Column(i, len(all), 0), p.Lab)
	}
}

// drawScale marks 10 mm, or 5 where there is no more room, along the foot of the
// bare skin, so that the size is known however the drawing is reduced.
func (r *Row) drawScale(cv canvas.Canvas, b canvas.Box, rig shimmer.Rig) {
	const tick = 0.8
	length, name := 10.0, "10 mm"
	if b.W < length+3 {
		length, name = 5, "5 mm"
	}
	st := noteStyle.In(paperWhite) // on the side that turns away from the light
	if skin, _ := viewing(r.Viewing).Screen(r.Skin.Lab); rig == shimmer.Even && skin.Lab().L > 55 {
		st.Colour = ink
	}
	text := canvas.Width(name, st)
	if b.W < max(length, text)+3 || b.H < 6 {
		return
	}
	x, y := b.X+2, b.Bottom()-1.5
	cv.Line([]canvas.Point{{X: x, Y: y - tick}, {X: x, Y: y}, {X: x + length, Y: y}, {X: x + length, Y: y - tick}}, 0.2, st.Colour)
	canvas.Line(cv, canvas.Box{X: x, Y: y - 3.8, W: max(length, text+0.1), H: 3}, name, st, canvas.Centre)
}

// Numbers are a row's colours in numbers and words, a column each.
type Numbers struct {
	Row   *Row
	Named bool // each column has its name above
	Title string
}

// columns are the lines of each colour, its name first.
func (n Numbers) columns() (all []paragraphs) {
	r := n.Row
	for i, p := range r.patches() {
		lines := paragraphs{p.Name}
		if i > 0 && r.Looks[i-1].Amount != "" {
			lines = append(lines, r.Looks[i-1].Amount)
		}
		lines = append(lines, labText(p.Lab))
		if _, in := viewing(r.Viewing).Screen(p.Lab); !in {
			lines = append(lines, "more than a screen can show")
		}
		if i > 0 {
			l := r.Looks[i-1]
			if r.Target != nil {
				lines = append(lines, differenceText(r.Target.Lab, p.Lab, r.Skin.Lab.L))
				if l.Matched {
					lines = append(lines, "matched here")
				}
			}
			lines = append(lines, l.Words...)
		}
		all = append(all, lines)
	}
	return all
}

// narrow is the width of a column, mm, under which the numbers run across the
// page instead, a paragraph each.
const narrow = 17.0

func (n Numbers) across(width float64) (lines paragraphs, ok bool) {
	all := n.columns()
	for _, c := range all {
		lines = append(lines, c[0]+": "+strings.Join(c[1:], "; "))
	}
	return lines, width/float64(len(all)) < narrow
}

func (n Numbers) height(width float64) (most float64) {
	if lines, ok := n.across(width); ok {
		most = lines.height(width, noteStyle)
	} else {
		all := n.columns()
		for _, lines := range all {
			room := width/float64(len(all)) - columnGap
			h := lines[1:].height(room, noteStyle)
			if n.Named {
				h += lines[:1].height(room, columnStyle)
			}
			most = max(most, h)
		}
	}
	if n.Title != "" {
		most += headStyle.LineHeight()
	}
	return most + 0.01
}

func (n Numbers) draw(cv canvas.Canvas, b canvas.Box) {
	if n.Title != "" {
		b = paragraphs{n.Title}.draw(cv, b, headStyle)
	}
	if lines, ok := n.across(b.W); ok {
		lines.draw(cv, b, noteStyle.In(ink))
		return
	}
	all := n.columns()
	for i, lines := range all {
		col := textColumn(b, i, len(all))
		if n.Named {
			col = lines[:1].draw(cv, col, columnStyle)
		}
		lines[1:].draw(cv, col, noteStyle.In(ink))
	}
}

// differenceText says how far apart two colours are on a skin of lightness l,
// and, where half of people would see it, which way the second lies.
func differenceText(a, b colour.Lab, l float64) string {
	de := colour.DeltaE00(a, b)
	s := "ΔE00\u00a0" + number(de, 1) + ", " + colour.DifferenceWords(de, l)
	if t := colour.TurnWords(a, b); t != "" && de >= max(1, colour.JustSeen(l)) {
		s += ": " + t
	}
	return s
}
