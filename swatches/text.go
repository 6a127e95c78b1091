package swatches

import (
	"tawny/colour"
	"tawny/colour/canvas"
)

// Sizes of the page's parts, mm. Body text is 3.2 mm (9 points), which a phone
// showing an upright card 390 pixels wide makes 12 pixels.
const (
	margin    = 5.0
	gutter    = 4.0
	columnGap = 2.0
	bodyText  = 3.2
	noteText  = 2.75
)

var (
	titleStyle = canvas.Style{Size: 5.4, Weight: canvas.Bold, Colour: ink}
	headStyle  = canvas.Style{Size: bodyText, Weight: canvas.Bold, Colour: ink}
	bodyStyle  = canvas.Style{Size: bodyText, Colour: ink}
	noteStyle  = canvas.Style{Size: noteText, Colour: softInk}
)

// The inks are neutral so that they do not tint the eye's judgement of the
// patches beside them.
var (
	paperWhite = colour.RGB8{R: 255, G: 255, B: 255} // no veil where a picture is printed
	ink        = colour.RGB8{R: 34, G: 34, B: 34}
	softInk    = colour.RGB8{R: 92, G: 92, B: 92}
	hairline   = colour.RGB8{R: 205, G: 205, B: 205}
)

// paragraphs stand one under the other, each wrapped.
type paragraphs []string

// wrapped are their lines at a width, a little less where that fills a last line of a
// word or two.
func (p paragraphs) wrapped(width float64, st canvas.Style) (all []string) {
	for _, s := range p {
		lines := canvas.Wrap(s, st, width)
		last := len(lines) - 1
		for w := 0.97 * width; last > 0 && w > 0.7*width && canvas.Width(lines[last], st) < width/3; w -= 0.03 * width {
			narrower := canvas.Wrap(s, st, w)
			if len(narrower) > last+1 {
				break
			}
			lines = narrower
		}
		all = append(all, lines...)
	}
	return all
}

func (p paragraphs) height(width float64, st canvas.Style) float64 {
	return float64(len(p.wrapped(width, st))) * st.LineHeight()
}

// draw returns what is left of the box under them. A line that is read from the right
// stands there.
func (p paragraphs) draw(cv canvas.Canvas, b canvas.Box, st canvas.Style) (rest canvas.Box) {
	for _, line := range p.wrapped(b.W, st) {
		var row canvas.Box
		row, b = b.CutTop(st.LineHeight())
		side := canvas.Left
		if canvas.RightToLeft(line) {
			side = canvas.Right
		}
		canvas.Line(cv, row, line, st, side)
	}
	return b
}

// ruleGap is the room between a rule and what stands on either side of it, mm.
const ruleGap = 1.5
