package swatches

import (
	"fmt"

	"tawny/colour"
	"tawny/colour/canvas"
)

// The two sheets that printers hold, at a printer's resolution.
var (
	A4     = Paper{210, 297, 300}
	Letter = Paper{215.9, 279.4, 300}
)

// Sheet is several cards on one page with cut marks, each drawn at the size it
// has when it is cut out; a row of cards shares its cuts.
type Sheet struct {
	Cards []*Card
	down  int
}

// sheetMargin leaves room for the marks and for what a printer cannot reach, mm.
const sheetMargin = 7.5

// cell is the size of a card, two across.
func cell(w, h float64, down int) (width, height float64) {
	return (w - 2*sheetMargin) / 2, (h - 2*sheetMargin) / float64(down)
}

// Sheets deals cards out over as many sheets of paper as they need, four to one,
// or two where that many leave no room for what stands on a card.
func Sheets(p Paper, cards ...*Card) ([]*Sheet, error) {
	p = p.filled()
	for down := 2; down >= 1; down-- {
		w, h := cell(p.WidthMM, p.HeightMM, down)
		fits := true
		for _, c := range cards {
			fits = fits && c.least(canvas.Box{W: w, H: h}) <= h
		}
		if !fits {
			continue
		}
		var sheets []*Sheet
		for len(cards) > 0 {
			n := min(len(cards), 2*down)
			sheets = append(sheets, &Sheet{cards[:n], down})
			cards = cards[n:]
		}
		return sheets, nil
	}
	return nil, fmt.Errorf("the cards do not fit a sheet of %g × %g mm with their text at full size", p.WidthMM, p.HeightMM)
}

// Draw lays the cards out in the middle of the page.
func (s *Sheet) Draw(cv canvas.Canvas, page canvas.Box) {
	wide, tall := cell(page.W, page.H, s.down)
	across := min(2, len(s.Cards))
	rows := (len(s.Cards) + 1) / 2
	block := page.InsetXY((page.W-float64(across)*wide)/2, (page.H-float64(rows)*tall)/2)
	for i, c := range s.Cards {
		c.Draw(cv, block.Row(i/2, rows, 0).Column(i%2, across, 0))
	}
	for i := 0; i <= across; i++ {
		x := block.X + float64(i)*wide
		cutMark(cv, canvas.Point{X: x, Y: block.Y}, 0, -1)
		cutMark(cv, canvas.Point{X: x, Y: block.Bottom()}, 0, 1)
	}
	for i := 0; i <= rows; i++ {
		y := block.Y + float64(i)*tall
		cutMark(cv, canvas.Point{X: block.X, Y: y}, -1, 0)
		cutMark(cv, canvas.Point{X: block.Right(), Y: y}, 1, 0)
	}
}

// cutMark is a hairline that stops 1.5 mm short of the card, so that a cut a
// little off leaves no line on it.
func cutMark(cv canvas.Canvas, at canvas.Point, dx, dy float64) {
	const gap, length, width = 1.5, 4.0, 0.1
	cv.Line([]canvas.Point{{X: at.X + gap*dx, Y: at.Y + gap*dy}, {X: at.X + (gap+length)*dx, Y: at.Y + (gap+length)*dy}}, width, colour.RGB8{})
}
