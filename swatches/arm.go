package swatches

import (
	"tawny/colour/canvas"
	"tawny/swatches/shimmer"
)

// drawArm draws films side by side on one arm in one light, life size on the
// drawing's own paper: the light falls alike on all of them, so they compare
// at every angle.
func (c *Card) drawArm(cv canvas.Canvas, b canvas.Box, films []*shimmer.Film, seed uint64) {
	w, h := cv.Pixels(b)
	if w < len(films) || h < 1 {
		return
	}
	m, err := shimmer.Arm(films, c.Rig.Scene(), shimmer.Options{Width: w, Height: h, MMPerPixel: b.H / float64(h), Seed: seed, Viewing: c.viewing()})
	if err != nil {
		// Check has passed the films, so only a picture of more pixels than any
		// canvas holds comes here; its flat colour stays.
		return
	}
	cv.Image(b, m)
}

// drawScale marks 10 mm, or 5 where there is no more room, along the foot of the
// bare skin, so that the size is known however the drawing is reduced.
func (c *Card) drawScale(cv canvas.Canvas, b canvas.Box) {
	const tick = 0.8
	length, name := 10.0, "10 mm"
	if b.W < length+2.5 {
		length, name = 5, "5 mm"
	}
	if b.W < length+2.5 || b.H < 4.6 {
		return
	}
	mark := paperWhite
	if skin, _ := c.viewing().Screen(c.Skin.Lab); skin.Lab().L > 55 {
		mark = ink
	}
	x, y := b.X+1.5, b.Bottom()-1.5
	cv.Line([]canvas.Point{{X: x, Y: y - tick}, {X: x, Y: y}, {X: x + length, Y: y}, {X: x + length, Y: y - tick}}, 0.15, mark)
	canvas.Line(cv, canvas.Box{X: x, Y: y - 3.6, W: min(max(length, 9), b.W-2), H: 3}, name, noteStyle.Sized(2.4).In(mark), canvas.Centre)
}

// films returns the films of bare skin and coverages, or nil for a flat card.
func (c *Card) films() []*shimmer.Film {
	if c.Skin.Film == nil {
		return nil
	}
	all := []*shimmer.Film{c.Skin.Film}
	for _, v := range c.Coverages {
		all = append(all, v.Film)
	}
	return all
}

// drawEven paints the colours in even light edge to edge.
func (c *Card) drawEven(cv canvas.Canvas, b canvas.Box) {
	c.paint(cv, b, c.Skin.Lab)
	for i, v := range c.Coverages {
		c.paint(cv, b.Column(i+1, len(c.Coverages)+1, 0), v.Lab)
	}
}

// evenShare is the part of the ribbon that keeps the flat colours when the
// rest is an arm under a lamp.
const evenShare = 0.22
