package swatches

import (
	"math"

	"tawny/colour"
	"tawny/colour/canvas"
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
		right, left := rest.CutRight(rest.W * c.sideShare())
		_, right = right.CutLeft(gutter)
		jars, left := left.CutBottom(c.jarsHeight())
		ribbon, labels := left.CutTop(left.H - c.labelHeight(left.W))
		c.drawRibbon(cv, ribbon)
		c.drawLabels(cv, labels)
		if len(c.Jars) > 0 {
			c.drawJars(cv, jars)
		}
		facts, powders, note, table := c.side(right)
		c.drawPowdersAt(cv, powders, table)
		c.drawFactsAt(cv, facts, note)
		return
	}
	l := c.upright(rest)
	c.drawRibbon(cv, l.ribbon)
	w, h = l.labels.W/l.scale, l.labels.H/l.scale
	c.drawLabels(canvas.Part(cv, l.labels, w, h), canvas.Box{W: w, H: h})
	c.drawPowdersAt(cv, l.powders, l.table)
	if len(c.Jars) > 0 {
		c.drawJars(cv, l.jars)
	}
	c.drawFactsAt(cv, l.facts, noteStyle.Sized(noteText*l.scale))
}

// uprightLayout is where the parts of an upright card stand.
type uprightLayout struct {
	ribbon, labels, powders, jars, facts canvas.Box

	table canvas.Style
	scale float64 // of the labels and remarks
}

// upright fits the parts under each other. Where there are many powders, labels
// and remarks get smaller and the colours lower, so that what to weigh is not the
// harder to read; past three quarters they get no smaller.
func (c *Card) upright(page canvas.Box) (l uprightLayout) {
	least := ribbonLeast
	if len(c.Blend.Parts) > 5 {
		least *= 0.8
	}
	for l.scale = 1; ; l.scale *= 0.98 {
		labels := l.scale * c.labelHeight(page.W/l.scale)
		var rest canvas.Box
		l.facts, rest = page.CutBottom(c.factsHeightAt(page.W, noteStyle.Sized(noteText*l.scale)))
		l.jars, rest = rest.CutBottom(c.jarsHeight())
		l.powders, rest = rest.CutBottom(min(c.powdersHeight(rest.W), rest.H-labels-least))
		l.labels, l.ribbon = rest.CutBottom(labels)
		l.table = c.fitPowders(l.powders, bodyStyle)
		if l.table.Size >= noteText*l.scale || l.scale < 0.75 {
			return l
		}
	}
}

// sideShare is the part of a wide card's width that powders and remarks take:
// more where there are many.
func (c *Card) sideShare() float64 {
	if len(c.Blend.Parts) > 5 {
		return 0.45
	}
	return 0.40
}

// side fits powders above remarks in a column. Both get smaller together where
// they must, so that what to weigh is never the harder to read.
func (c *Card) side(b canvas.Box) (facts, powders canvas.Box, note, table canvas.Style) {
	for k := 1.0; ; k *= 0.98 {
		note = noteStyle.Sized(noteText * k)
		facts, powders = b.CutBottom(c.factsHeightAt(b.W, note))
		table = c.fitPowders(powders, bodyStyle)
		if table.Size >= note.Size || k < 0.35 {
			return facts, powders, note, table
		}
	}
}

// ribbonLeast is the height, mm, the colours keep however much text there is.
const ribbonLeast = 32.0

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
