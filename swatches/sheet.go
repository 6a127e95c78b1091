package swatches

import (
	"fmt"
	"math"

	"tawny/colour"
	"tawny/colour/canvas"
)

// The two sheets that printers hold, at a printer's resolution.
var (
	A4     = Paper{210, 297, 300}
	Letter = Paper{215.9, 279.4, 300}
)

// Sheet is several cards on one page with cut marks, each drawn at the size it
// has when it is cut out; those of a row have one height of picture and share their
// cuts.
type Sheet struct {
	Cards []*Card
	down  int
}

const (
	// sheetMargin leaves room for the marks and for what a printer cannot reach, mm.
	sheetMargin = 7.5
	// sheetGap keeps the pictures of neighbours apart, mm.
	sheetGap = 3.0
	// tallest is the height of a picture on a sheet against its width: taller, it shows
	// more of the arm's shade and no more of the look.
	tallest = 0.8
)

// cell is the size of a card, two across.
func cell(w, h float64, down int) (width, height float64) {
	return (w - 2*sheetMargin - sheetGap) / 2, (h - 2*sheetMargin) / float64(down)
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
	picture := math.Inf(1)
	for _, c := range s.Cards {
		high, _ := c.layout(canvas.Box{W: wide, H: tall})
		picture = min(picture, high)
	}
	if over := picture - tallest*wide; over > 0 {
		picture, tall = picture-over, tall-over
	}
	block := page.InsetXY((page.W-float64(across)*wide-float64(across-1)*sheetGap)/2, (page.H-float64(rows)*tall)/2)
	for i, c := range s.Cards {
		c.set(cv, block.Row(i/2, rows, 0).Column(i%2, across, sheetGap), picture)
	}
	for i := range across {
		for _, x := range []float64{block.Column(i, across, sheetGap).X, block.Column(i, across, sheetGap).Right()} {
			cutMark(cv, canvas.Point{X: x, Y: block.Y}, 0, -1)
			cutMark(cv, canvas.Point{X: x, Y: block.Bottom()}, 0, 1)
		}
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
