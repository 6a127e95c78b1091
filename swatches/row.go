package swatches

import (
	"cmp"
	"image"
	"strings"

	"tawny/colour"
	"tawny/colour/canvas"
	"tawny/swatches/shimmer"
)

// columnStyle is that of the names over or under colours.
var columnStyle = noteStyle.In(ink).Strong()

// Under names of an arm, and between those of narrow films, mm.
const (
	namesGap = 1.2
	leastGap = 0.7
)

// stripWidth is that of the strip in even light along an arm, mm.
func (c *Card) stripWidth(r *Row) float64 {
	even, target := c.strips()
	switch {
	case !r.lit() || c.Plain:
		return 0
	case r.Target != nil:
		return even + target
	}
	return even
}

// stripGap is the room between an arm and the strip along it, mm.
const stripGap = 0.7

// strips are the widths of the strip in even light and of the target's along it, mm:
// arms side by side have less room, and many under each other.
func (c *Card) strips() (even, target float64) {
	if c.facing() || len(c.Rows) > 3 {
		return 3, 2
	}
	return 5, 3
}

// drawRows draws the arms with their names and numbers, pictures of a height in
// mm. A single one runs from edge to edge.
func (c *Card) drawRows(cv canvas.Canvas, b canvas.Box, picture float64, under []Block) canvas.Box {
	var arm canvas.Box
	switch {
	case len(c.Rows) == 1:
		r := &c.Rows[0]
		arm, b = b.CutTop(picture + c.stripWidth(r))
		c.drawArm(cv, arm, r, c.Seed)
		c.drawScale(cv, arm, r)
		return stack(cv, below(b, b.Y+namesGap).InsetXY(margin, 0), under)
	case c.facing():
		return c.drawFacing(cv, b, picture)
	}
	b = columnNames{names: c.names(), ends: c.Rows[0].ends()}.draw(cv, b)
	b = below(b, b.Y+1)
	for i := range c.Rows {
		r := &c.Rows[i]
		if i > 0 {
			b = below(b, b.Y+rowsGap)
		}
		if r.Name+r.Right != "" {
			var title canvas.Box
			title, b = b.CutTop(headStyle.LineHeight())
			canvas.Line(cv, title, r.Name, headStyle, canvas.Left)
			canvas.Line(cv, title, r.Right, noteStyle, canvas.Right)
		}
		arm, b = b.CutTop(picture + c.stripWidth(r))
		c.drawArm(cv, arm, r, c.Seed+uint64(i)<<8)
		if i == 0 { // all are to one scale
			c.drawScale(cv, arm, r)
		}
		if !c.Plain {
			b = Numbers{Row: r}.draw(cv, below(b, b.Y+1))
		}
		b = paragraphs(r.Words).draw(cv, b, noteStyle.In(ink))
	}
	return b
}

// names are those of the first arm's films, on a board with how much is worn on a line
// of its own.
func (c *Card) names() []string {
	var names []string
	for i, p := range c.Rows[0].patches() {
		if i > 0 && len(c.Rows) > 1 && !c.Plain {
			p.Name = strings.TrimSpace(p.Name + "\n" + c.Rows[0].Looks[i-1].Amount)
		}
		names = append(names, p.Name)
	}
	return names
}

// columnNames are names over or under colours that touch. Under an arm that runs
// from edge to edge each is as far in from the edge of its own film as text is
// from the page's, which it bleeds over, or less where films are narrow: but the
// first stands over the text.
type columnNames struct {
	names []string
	ends  []float64 // of the colours
	bleed float64   // mm
}

func (n columnNames) at(b canvas.Box, i int) canvas.Box {
	b = columnOf(canvas.Box{X: b.X - n.bleed, Y: b.Y, W: b.W + 2*n.bleed, H: b.H}, n.ends[:i+1])
	in := n.bleed
	if i > 0 {
		in = min(in, b.W/4)
	}
	b.X += in
	b.W -= max(in, leastGap)
	return b
}

func (n columnNames) draw(cv canvas.Canvas, b canvas.Box) canvas.Box {
	y := b.Y
	for i, s := range n.names {
		at := n.at(b, i)
		if i+1 < len(n.names) {
			at.W = n.at(b, i+1).X - at.X - leastGap
		}
		y = max(y, paragraphs(strings.Split(s, "\n")).draw(cv, at, columnStyle).Y)
	}
	return below(b, y)
}

// along cuts what runs along an arm off its foot, or off its right where arms
// face each other.
func (c *Card) along(b canvas.Box, mm float64) (strip, rest canvas.Box) {
	if c.facing() {
		return b.CutRight(mm)
	}
	return b.CutBottom(mm)
}

// seamMM is over how much a coverage thins out into the next, mm: a hand leaves no
// line (drawn by eye).
const seamMM = 24.0

// drawArm draws the row's films side by side on one arm, over a strip of their
// colours in even light that the target runs along: life size, so that the
// flakes are too. Where there is no film all of it is flat.
func (c *Card) drawArm(cv canvas.Canvas, b canvas.Box, r *Row, seed uint64) {
	even, arm, target := b, b, 0.2*min(b.W, b.H)
	if r.lit() {
		even, arm = c.along(b, c.stripWidth(r))
		even, _ = c.along(even, c.stripWidth(r)-stripGap) // or it reads as the arm's lit edge
		_, target = c.strips()
		c.drawColours(cv, arm, r) // under the picture
	}
	if min(even.W, even.H) > 0 {
		c.drawColours(cv, even, r)
		if r.Target != nil {
			band, _ := c.along(even, target)
			r.paint(cv, band, r.Target.Lab)
		}
	}
	w, h := cv.Pixels(arm)
	if !r.lit() || w < 1 || h < 1 {
		return
	}
	var films []*shimmer.Film
	for _, p := range r.patches() {
		films = append(films, p.Film)
	}
	o := shimmer.Options{Width: w, Height: h, MMPerPixel: arm.H / float64(h), FeatherMM: seamMM, Ends: r.ends(), Seed: seed, Viewing: r.Viewing}
	if c.facing() {
		o.Width, o.Height, o.MMPerPixel = h, w, arm.W/float64(w)
	}
	m, err := shimmer.Arm(films, c.Rig.Scene(), o)
	if err != nil {
		// Only a picture of more pixels than any canvas holds comes here; its flat
		// colour stays.
		return
	}
	if c.facing() {
		m = onEnd(m)
	}
	cv.Image(arm, m)
}

// onEnd stands a picture on its right end: its left is the top, its top the left.
func onEnd(m *image.RGBA) *image.RGBA {
	out := image.NewRGBA(image.Rect(0, 0, m.Rect.Dy(), m.Rect.Dx()))
	for y := range m.Rect.Dy() {
		for x := range m.Rect.Dx() {
			copy(out.Pix[out.PixOffset(y, x):], m.Pix[m.PixOffset(x, y):][:4])
		}
	}
	return out
}

// drawScale draws an arm's scale along the foot of the bare skin, on the side that
// turns away from the light.
func (c *Card) drawScale(cv canvas.Canvas, b canvas.Box, r *Row) {
	in := paperWhite
	if bare, _ := cmp.Or(r.Viewing, colour.D65).Screen(r.Skin.Lab); (c.Rig == shimmer.Even || !r.lit()) && bare.Lab().L > 55 {
		in = ink
	}
	_, arm := c.along(b, c.stripWidth(r))
	drawScale(cv, c.film(arm, r, 0), in)
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

// drawColours paints a row's colours edge to edge along its arm, which is how the
// eye compares best.
func (c *Card) drawColours(cv canvas.Canvas, b canvas.Box, r *Row) {
	for i, p := range r.patches() {
		r.paint(cv, c.film(b, r, i), p.Lab)
	}
}

// barMM is how thick the scale's bar is. It has no ticks, whose strokes would leave
// open where its length ends.
const barMM = 0.4

// drawScale marks 10 mm, or 5 where there is no more room, at the foot of a box, so
// that the size is known however the drawing is reduced.
func drawScale(cv canvas.Canvas, b canvas.Box, in colour.RGB8) {
	length, name := 10.0, "10 mm"
	if b.W < length+3 {
		length, name = 5, "5 mm"
	}
	st := noteStyle.In(in)
	text := canvas.Width(name, st)
	if b.W < max(length, text)+3 || b.H < 6 {
		return
	}
	x, y := b.X+2, b.Bottom()-1.5
	cv.Fill(canvas.Box{X: x, Y: y - barMM, W: length, H: barMM}, in)
	canvas.Line(cv, canvas.Box{X: x, Y: y - 3.8, W: max(length, text+0.1), H: 3}, name, st, canvas.Centre)
}

// Numbers are a row's colours in numbers and words, a column each.
type Numbers struct {
	Row   *Row
	Named bool // each column has its name above
	Brief bool // what lies off the target is told by its way, where it is seen, and not by its size in words
	Title string

	bleed  float64 // mm that the row's picture reaches beyond the columns on either side
	inside bool    // what reaches beyond there is the page's margin
}

// columns are the lines of each colour, its name first.
func (n Numbers) columns() (all []paragraphs) {
	r := n.Row
	for i, p := range r.patches() {
		lines := paragraphs{p.Name}
		if i > 0 && n.Named && r.Looks[i-1].Amount != "" {
			lines = append(lines, r.Looks[i-1].Amount)
		}
		lines = append(lines, labText(p.Lab))
		if _, in := cmp.Or(r.Viewing, colour.D65).Screen(p.Lab); !in {
			lines = append(lines, "more than a screen can show")
		}
		if i > 0 {
			l := r.Looks[i-1]
			if r.Target != nil {
				lines = append(lines, differenceText(r.Target.Lab, p.Lab, n.Brief))
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

func (n Numbers) draw(cv canvas.Canvas, b canvas.Box) canvas.Box {
	if n.Title != "" {
		b = paragraphs{n.Title}.draw(cv, b, headStyle)
	}
	all := n.columns()
	if b.W/float64(len(all)) < narrow {
		for _, c := range all {
			b = paragraphs{c[0] + ": " + strings.Join(c[1:], "; ")}.draw(cv, b, noteStyle.In(ink))
		}
		return below(b, b.Y+hair)
	}
	y, names := b.Y, columnNames{ends: n.Row.ends(), bleed: n.bleed}
	for i, lines := range all {
		column := names.at(b, i)
		switch {
		case i+1 < len(all):
			column.W = names.at(b, i+1).X - column.X - columnGap
		case n.inside:
			column.W = b.Right() - column.X
		default:
			column.W -= columnGap - leastGap
		}
		if n.Named {
			column = lines[:1].draw(cv, column, columnStyle)
		}
		y = max(y, lines[1:].draw(cv, column, noteStyle.In(ink)).Y)
	}
	return below(b, y+hair)
}

// differenceText says how far apart two colours are, and, where half of people would
// see it, which way the second lies.
func differenceText(a, b colour.Lab, brief bool) string {
	de, l := colour.DeltaE00(a, b), colour.MeanL(a, b)
	s := "ΔE00\u00a0" + number(de, 1)
	way := colour.TurnWords(a, b)
	if de < max(1, colour.JustSeen(l)) {
		way = ""
	}
	if !brief || way == "" {
		s += ", " + colour.DifferenceWords(de, l)
	}
	if way != "" {
		s += ": " + way
	}
	return s
}
