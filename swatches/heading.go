package swatches

import "tawny/colour/canvas"

// Heading is what stands at the head of every drawing.
type Heading struct {
	Title  string
	Note   string // one line under the title, such as who it is for; "demo" where invented
	Date   string // as it is to be printed
	Source string // "modelled" or "measured": how the colours were found
}

func (h Heading) title() string { return h.Title }

// TitleOf returns the title that stands at a drawing's head, or "".
func TitleOf(d Drawing) string {
	if h, ok := d.(interface{ title() string }); ok {
		return h.title()
	}
	return ""
}

// lowDots is the room that a title in such letters needs below its line, mm.
const lowDots = 1.2

// side is the width kept for date and source, mm.
func (h Heading) side() float64 {
	return max(canvas.Width(h.Date, bodyStyle), canvas.Width(h.Source, noteStyle.Strong())) + 0.1
}

// draw sets the title, the note under it and, at the right, the date and
// whether the colours are modelled or measured.
func (h Heading) draw(cv canvas.Canvas, b canvas.Box) canvas.Box {
	side, main := b.CutRight(h.side())
	if h.Date+h.Source != "" {
		main.W -= gutter
	}
	main = paragraphs{h.Title}.draw(cv, main, titleStyle)
	if canvas.RightToLeft(h.Title) {
		main = below(main, main.Y+lowDots)
	}
	main = paragraphs{h.Note}.draw(cv, main, noteStyle)
	date, source := side.CutTop(titleStyle.LineHeight())
	canvas.Line(cv, date, h.Date, bodyStyle, canvas.Right)
	source.H = noteStyle.LineHeight()
	canvas.Line(cv, source, h.Source, noteStyle.Strong(), canvas.Right)
	if h.Source == "" {
		source.H = 0
	}
	return below(b, max(main.Y, source.Bottom())+hair)
}

// drawHeading sets a heading at the top of a page and returns what is left
// under it, inside the margins.
func (h Heading) drawHeading(cv canvas.Canvas, page canvas.Box) (rest canvas.Box) {
	_, rest = h.draw(cv, page.Inset(margin)).CutTop(2)
	return rest
}
