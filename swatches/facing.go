package swatches

import "tawny/colour/canvas"

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

func (c *Card) facingTitles(width float64) (most float64) {
	for i := range c.Rows {
		w := c.facingColumn(canvas.Box{W: width}, i).W
		most = max(most, paragraphs{c.Rows[i].Name}.height(w, headStyle)+paragraphs{c.Rows[i].Right}.height(w, noteStyle))
	}
	return most + 1
}

func (c *Card) facingHeight(width float64) float64 {
	return c.facingTitles(width) + 1 + c.gaps().height(width, headStyle)
}

// drawFacing draws the arms, as high as picture, mm, with their names and scale at
// the left.
func (c *Card) drawFacing(cv canvas.Canvas, b canvas.Box, picture float64) {
	titles := c.facingTitles(b.W)
	for i := range c.Rows {
		r := &c.Rows[i]
		column := c.facingColumn(b, i)
		paragraphs{r.Right}.draw(cv, paragraphs{r.Name}.draw(cv, column, headStyle), noteStyle)
		_, column = column.CutTop(titles)
		arm, _ := column.CutTop(picture)
		c.drawArm(cv, arm, r, c.Seed+uint64(i)<<8)
	}
	_, b = b.CutTop(titles)
	beside, b := b.CutTop(picture)
	beside, _ = beside.CutLeft(sideNames)
	names := c.names()
	for i, s := range names {
		_, at := beside.Row(i, len(names), 0).CutTop(1)
		paragraphs{s}.draw(cv, canvas.Box{X: at.X, Y: at.Y, W: at.W - columnGap, H: at.H}, columnStyle)
	}
	if c.Rows[0].lit() {
		drawScale(cv, canvas.Box{X: beside.X - 2, Y: beside.Y, W: beside.W, H: beside.H}, ink)
	}
	_, b = b.CutTop(1)
	c.gaps().draw(cv, b, headStyle)
}
