package swatches

import (
	"strings"

	"tawny/colour/canvas"
)

// facing tells a comparison: arms side by side in one light, bare skin at the top
// of each and the gap between them told under them.
func (c *Card) facing() bool { return len(c.gaps()) > 0 }

func (c *Card) gaps() (told paragraphs) {
	for i := range c.Rows {
		if gap := c.Rows[i].Gap; gap != "" {
			told = append(told, gap)
		}
	}
	return told
}

// sideNames is the width kept for the films' names beside facing arms, mm.
const sideNames = 17.0

// facingColumn is where arm i stands, its title over it.
func (c *Card) facingColumn(b canvas.Box, i int) canvas.Box {
	_, arms := b.CutLeft(sideNames)
	return arms.Column(i, len(c.Rows), gutter)
}

// drawFacing draws the arms, as high as picture, mm, with their names and scale at
// the left.
func (c *Card) drawFacing(cv canvas.Canvas, b canvas.Box, picture float64) canvas.Box {
	top := b.Y
	for i, r := range c.Rows {
		title := paragraphs{r.Name}.draw(cv, c.facingColumn(b, i), headStyle)
		top = max(top, paragraphs(strings.Split(r.Right, ", ")).draw(cv, title, noteStyle).Y)
	}
	arms, rest := below(b, top+1).CutTop(picture)
	for i := range c.Rows {
		c.drawArm(cv, c.facingColumn(arms, i), &c.Rows[i], c.Seed+uint64(i)<<8)
	}
	beside, _ := arms.CutLeft(sideNames)
	names := c.names()
	for i, s := range names {
		at := c.film(beside, &c.Rows[0], i)
		at.W -= columnGap
		paragraphs(strings.Split(s, "\n")).draw(cv, below(at, at.Y+1), columnStyle)
	}
	beside.X -= 2
	drawScale(cv, beside, ink)
	return c.gaps().draw(cv, below(rest, rest.Y+1), headStyle)
}
