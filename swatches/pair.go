package swatches

import (
	"cmp"
	"tawny/colour"
	"tawny/colour/canvas"
)

// Pair asks which of two colours is nearer to what lies before an eye: left or
// right.
type Pair struct {
	Heading
	Left, Right Patch // Name says how each differs
	Viewing     *colour.Viewing
}

// Draw sets the two side by side, apart so that each can be held beside the real
// thing, with the same grey round both.
func (p *Pair) Draw(cv canvas.Canvas, page canvas.Box) {
	rest := p.Heading.drawHeading(cv, page)
	for i, side := range []Patch{p.Left, p.Right} {
		cell := rest.Column(i, 2, gutter*2)
		label, patch := cell.CutBottom(titleStyle.LineHeight() + paragraphs{side.Name}.height(cell.W, bodyStyle) + 1)
		rgb, _ := cmp.Or(p.Viewing, colour.D65).Screen(side.Lab)
		cv.Fill(patch, rgb)
		label = paragraphs{[]string{"left", "right"}[i]}.draw(cv, label, titleStyle)
		paragraphs{side.Name}.draw(cv, label, bodyStyle)
	}
}
