package swatches

import "tawny/colour/canvas"

// Heading is what stands at the top of every drawing.
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

const headHeight = 15.0

// page is a paper's head and what is left under it, inside the margins.
func page(w, h float64) (head, rest canvas.Box) {
	return canvas.Box{W: w, H: h}.Inset(margin).CutTop(headHeight)
}

// draw sets the title, the note under it and, at the right, the date and
// whether the colours are modelled or measured.
func (h Heading) draw(cv canvas.Canvas) (rest canvas.Box) {
	head, rest := page(cv.Size())
	side, main := head.CutRight(24)
	_, side = side.CutLeft(2)
	title, note := main.CutTop(8)
	canvas.Fit(cv, title, h.Title, titleStyle, canvas.Left)
	note.H = 5
	canvas.Fit(cv, note, h.Note, noteStyle, canvas.Left)
	date, source := side.CutTop(8)
	canvas.Line(cv, date, h.Date, bodyStyle, canvas.Right)
	source.H = 5
	canvas.Line(cv, source, h.Source, noteStyle.Strong(), canvas.Right)
	return rest
}
