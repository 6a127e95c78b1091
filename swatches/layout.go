package swatches

import (
	"math"

	"tawny/colour"
	"tawny/swatches/canvas"
)

// Sizes of the page's parts, mm. Body text is 3.2 mm (9 points), which a phone
// showing an upright card 390 pixels wide makes 12 pixels.
const (
	margin   = 5.0
	gutter   = 4.0
	bodyText = 3.2
	noteText = 2.75
)

var (
	titleStyle = canvas.Style{Size: 5.4, Weight: canvas.Bold, Colour: ink}
	headStyle  = canvas.Style{Size: bodyText, Weight: canvas.Bold, Colour: ink}
	bodyStyle  = canvas.Style{Size: bodyText, Colour: ink}
	noteStyle  = canvas.Style{Size: noteText, Colour: softInk}
)

// Draw lays the card out. Upright: head, ribbon of colours, powders, facts,
// one under the other. Wide: the same four with the ribbon at the left and
// powders and facts at the right.
func (c *Card) Draw(cv canvas.Canvas) {
	w, h := cv.Size()
	page := canvas.Box{W: w, H: h}.Inset(margin)
	head, rest := page.CutTop(headHeight)
	drawHead(cv, head, c.Title, c.Note, c.Date, c.Source)
	if w > h {
		right, left := rest.CutRight(rest.W * 0.40)
		_, right = right.CutLeft(gutter)
		ribbon, labels := left.CutTop(left.H - c.labelHeight(left.W))
		c.drawRibbon(cv, ribbon)
		c.drawLabels(cv, labels)
		facts, powders := right.CutBottom(c.factsHeight(right.W))
		for i := range c.Jars {
			var jar canvas.Box
			jar, powders = powders.CutBottom(jarHeight)
			one := *c
			one.Jars = c.Jars[len(c.Jars)-1-i : len(c.Jars)-i]
			one.drawJars(cv, jar)
		}
		c.drawPowders(cv, powders)
		c.drawFacts(cv, facts)
		return
	}
	facts, rest := rest.CutBottom(c.factsHeight(rest.W))
	labels := c.labelHeight(rest.W)
	jars, rest := rest.CutBottom(c.jarsHeight())
	powders, rest := rest.CutBottom(min(c.powdersHeight(rest.W), rest.H-labels-ribbonLeast))
	below, ribbon := rest.CutBottom(labels)
	c.drawRibbon(cv, ribbon)
	c.drawLabels(cv, below)
	c.drawPowders(cv, powders)
	if len(c.Jars) > 0 {
		c.drawJars(cv, jars)
	}
	c.drawFacts(cv, facts)
}

// ribbonLeast is the height, mm, the colours keep however much text there is.
const ribbonLeast = 32

const headHeight = 15.0

// drawHead sets the title, the note under it and, at the right, the date and
// whether the colours are modelled or measured.
func drawHead(cv canvas.Canvas, b canvas.Box, heading, remark, day, origin string) {
	side, main := b.CutRight(24)
	_, side = side.CutLeft(2)
	title, note := main.CutTop(8)
	canvas.Fit(cv, title, heading, titleStyle, canvas.Left)
	note.H = 5
	canvas.Fit(cv, note, remark, noteStyle, canvas.Left)
	date, source := side.CutTop(8)
	canvas.Line(cv, date, day, bodyStyle, canvas.Right)
	source.H = 5
	canvas.Line(cv, source, origin, noteStyle.Strong(), canvas.Right)
}

// screen returns the colour to show and whether the screen can show it.
func (c *Card) screen(l colour.Lab) (colour.RGB8, bool) { return c.viewing().Screen(l) }

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
		rgb, _ := c.screen(c.Target.Lab)
		cv.Fill(band, rgb)
	}
	c.drawColours(cv, b)
}

// drawColours paints bare skin and coverages: flat with bare skin along the
// foot, or a strip of the flat colours over one arm under a lamp.
func (c *Card) drawColours(cv canvas.Canvas, b canvas.Box) {
	if films := c.films(); films != nil {
		arm, even := b.CutBottom(math.Min(b.H*(1-evenShare), tallestArm*c.Scene.Filled().RadiusMM))
		c.drawEven(cv, even)
		c.drawEven(cv, arm) // under the pictures
		drawArm(cv, arm, films, c.Scene, c.viewing(), c.Seed)
		skin, _ := c.screen(c.Skin.Lab)
		drawScale(cv, arm.Column(0, len(films), 0), skin)
		return
	}
	foot, b := b.CutBottom(b.H * skinShare)
	skin, _ := c.screen(c.Skin.Lab)
	cv.Fill(foot, skin)
	c.drawEven(cv, b)
}

func (c *Card) drawTargetName(cv canvas.Canvas, b canvas.Box) {
	name := "Target"
	if c.Target.Name != "" {
		name += ": " + c.Target.Name
	}
	numbers := labText(c.Target.Lab)
	right, left := b.CutRight(canvas.Width(numbers, bodyStyle) + 0.1)
	left.W -= 2
	canvas.Fit(cv, left, name, headStyle, canvas.Left)
	canvas.Line(cv, right, numbers, bodyStyle, canvas.Right)
}
