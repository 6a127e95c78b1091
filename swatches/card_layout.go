package swatches

import (
	"tawny/colour"
	"tawny/colour/canvas"
)

// cardLayout is where a card's parts stand.
type cardLayout struct {
	ribbon, labels, powders, jars, facts canvas.Box

	table, note canvas.Style
	scale       float64 // of the labels
}

// Draw lays the card out. Upright: head, ribbon of colours, powders, facts,
// one under the other. Wide: the same four with the ribbon at the left and
// powders and facts at the right.
func (c *Card) Draw(cv canvas.Canvas) {
	rest := c.Heading.draw(cv)
	l := c.upright(rest)
	if w, h := cv.Size(); w > h {
		l = c.wide(rest)
	}
	c.drawRibbon(cv, l.ribbon)
	w, h := l.labels.W/l.scale, l.labels.H/l.scale
	c.drawLabels(canvas.Part(cv, l.labels, w, h), canvas.Box{W: w, H: h})
	c.Blend.draw(cv, l.powders, l.table)
	c.drawJars(cv, l.jars)
	c.facts().drawFoot(cv, l.facts, l.note)
}

// upright fits the parts under each other. Where there are many powders, labels
// and remarks get smaller and the colours lower, so that what to weigh is not the
// harder to read; past three quarters they get no smaller.
func (c *Card) upright(page canvas.Box) (l cardLayout) {
	least := ribbonLeast
	if c.manyPowders() {
		least *= 0.8
	}
	for l.scale = 1; ; l.scale *= 0.98 {
		l.note = noteStyle.Sized(noteText * l.scale)
		labels := l.scale * c.labelHeight(page.W/l.scale)
		var rest canvas.Box
		l.facts, rest = page.CutBottom(c.facts().footHeight(page.W, l.note))
		l.jars, rest = rest.CutBottom(c.jarsHeight())
		l.powders, rest = rest.CutBottom(min(c.Blend.height(rest.W), rest.H-labels-least))
		l.labels, l.ribbon = rest.CutBottom(labels)
		l.table = c.Blend.fit(l.powders, bodyStyle)
		if l.table.Size >= l.note.Size || l.scale < 0.75 {
			return l
		}
	}
}

// wide fits powders above remarks at the right, in more of the width where
// there are many. Both get smaller together where they must, so that what to
// weigh is never the harder to read.
func (c *Card) wide(page canvas.Box) (l cardLayout) {
	share := 0.40
	if c.manyPowders() {
		share = 0.45
	}
	side, left := page.CutRight(page.W * share)
	_, side = side.CutLeft(gutter)
	l.scale = 1
	l.jars, left = left.CutBottom(c.jarsHeight())
	l.ribbon, l.labels = left.CutTop(left.H - c.labelHeight(left.W))
	for k := 1.0; ; k *= 0.98 {
		l.note = noteStyle.Sized(noteText * k)
		l.facts, l.powders = side.CutBottom(c.facts().footHeight(side.W, l.note))
		l.table = c.Blend.fit(l.powders, bodyStyle)
		if l.table.Size >= l.note.Size || k < 0.35 {
			return l
		}
	}
}

func (c *Card) manyPowders() bool { return len(c.Blend.Parts) > 5 }

// ribbonLeast is the height, mm, the colours keep however much text there is.
const ribbonLeast = 32.0

// paint fills a box with a colour as a screen shows it.
func (c *Card) paint(cv canvas.Canvas, b canvas.Box, l colour.Lab) {
	rgb, _ := c.viewing().Screen(l)
	cv.Fill(b, rgb)
}

// targetShare is the part of the ribbon's height that the target takes.
const targetShare = 0.24

// skinShare is the part below the target that bare skin keeps along the foot.
const skinShare = 0.16

// drawRibbon paints the colours edge to edge, which is how the eye compares
// best: the target as one band along the top, and bare skin at
// the left and along the foot, so that each coverage touches both.
func (c *Card) drawRibbon(cv canvas.Canvas, b canvas.Box) {
	if c.Target != nil {
		var name, band canvas.Box
		name, b = b.CutTop(bodyText * 1.75)
		share := targetShare
		if c.Skin.Film != nil {
			share = evenShare * (1 - evenShare) // as tall as the even colours
		}
		band, b = b.CutTop(b.H * share)
		c.drawTargetName(cv, name)
		c.paint(cv, band, c.Target.Lab)
	}
	c.drawColours(cv, b)
}

// drawColours paints bare skin and coverages: flat with bare skin along the
// foot, or a strip of the flat colours over one arm under a lamp.
func (c *Card) drawColours(cv canvas.Canvas, b canvas.Box) {
	if films := c.films(); films != nil {
		arm, even := b.CutBottom(b.H * (1 - evenShare))
		c.drawEven(cv, even)
		c.drawEven(cv, arm) // under the pictures
		c.drawArm(cv, arm, films, c.Seed)
		c.drawScale(cv, arm.Column(0, len(films), 0))
		return
	}
	foot, b := b.CutBottom(b.H * skinShare)
	c.paint(cv, foot, c.Skin.Lab)
	c.drawEven(cv, b)
}

func (c *Card) drawTargetName(cv canvas.Canvas, b canvas.Box) {
	name := "Target"
	if c.Target.Name != "" {
		name += ": " + c.Target.Name
	}
	numbers := labText(c.Target.Lab)
	right, left := b.CutRight(canvas.Width(numbers, bodyStyle) + 0.1)
	left.W -= columnGap
	canvas.Fit(cv, left, name, headStyle, canvas.Left)
	canvas.Line(cv, right, numbers, bodyStyle, canvas.Right)
}
