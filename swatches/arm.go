package swatches

import (
	"math"

	"tawny/colour/canvas"
	"tawny/swatches/shimmer"
)

// drawArm draws films side by side on one arm under one lamp, life size on the
// drawing's own paper: the light falls alike on all of them, so they compare
// at every angle.
func (c *Card) drawArm(cv canvas.Canvas, b canvas.Box, films []*shimmer.Film, seed uint64) {
	s := turned(c.Scene, b.H)
	for i, f := range films {
		col := b.Column(i, len(films), 0)
		w, h := cv.Pixels(col)
		if w < 1 || h < 1 {
			continue
		}
		p, err := shimmer.Render(f, s, shimmer.Options{Width: w, Height: h, MMPerPixel: col.H / float64(h), Seed: seed + uint64(i), Viewing: c.viewing()})
		if err != nil {
			// Check has passed film and scene, so only a picture of more pixels
			// than any canvas holds comes here; its flat colour stays.
			continue
		}
		cv.Image(col, p.RGBA())
	}
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

// turned turns the arm so that a lamp 45° from the eye is mirrored a quarter of
// the picture's height from its top: both the sheen and the fall to the side
// are then in view. A scene with angles of its own is left alone.
func turned(s shimmer.Scene, heightMM float64) shimmer.Scene {
	if s.LightDeg != 0 || s.EyeDeg != 0 {
		return s
	}
	s = s.Filled()
	sheen := math.Asin(math.Min(0.35, heightMM/4/s.RadiusMM)) * 180 / math.Pi
	s.LightDeg, s.EyeDeg = s.LightDeg/2+sheen, sheen-s.LightDeg/2
	return s
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

// tallestArm is how much of an arm a picture shows at most, in radii: past it
// the skin turns too far aside to say anything.
const tallestArm = 1.3
