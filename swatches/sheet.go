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

// Sheet is several drawings on one page with cut marks. Each is drawn as on an
// upright card and reduced to CardMM wide; a row of cards shares its cuts.
type Sheet struct {
	Cards  []Drawing
	CardMM float64 // width of a card, mm; 0 means 85. Its height is half as much again.
}

// cardAspect is the height of a card over its width.
const cardAspect = 1.5

func (s *Sheet) cardMM() float64 {
	if s.CardMM == 0 {
		return 85
	}
	return s.CardMM
}

// sheetMargin leaves room for the marks and for what a printer cannot reach, mm.
const sheetMargin = 7.5

// room returns how many cards lie across and down a page, with cards of the
// given width.
func room(w, h, card float64) (across, down int) {
	return int((w - 2*sheetMargin) / card), int((h - 2*sheetMargin) / (card * cardAspect))
}

// Sheets deals cards out over as many sheets of paper as they need.
func Sheets(p Paper, cardMM float64, cards ...Drawing) ([]*Sheet, error) {
	s := Sheet{CardMM: cardMM}
	p = p.filled()
	if c := s.cardMM(); !(c >= 30 && c <= 1000) {
		return nil, fmt.Errorf("cards of %g mm width; 30 to 1000 mm are accepted", c)
	}
	across, down := room(p.WidthMM, p.HeightMM, s.cardMM())
	if across*down == 0 {
		return nil, fmt.Errorf("a card of %g × %g mm does not fit a sheet of %g × %g mm with its cut marks", s.cardMM(), s.cardMM()*cardAspect, p.WidthMM, p.HeightMM)
	}
	var sheets []*Sheet
	for len(cards) > 0 {
		n := min(len(cards), across*down)
		sheets = append(sheets, &Sheet{Cards: cards[:n], CardMM: cardMM})
		cards = cards[n:]
	}
	return sheets, nil
}

// Check reports the first card that cannot be drawn.
func (s *Sheet) Check() error {
	if len(s.Cards) == 0 {
		return fmt.Errorf("the sheet has no cards; at least one is accepted")
	}
	for i, c := range s.Cards {
		if err := c.Check(); err != nil {
			return fmt.Errorf("card %d: %w", i+1, err)
		}
	}
	return nil
}

// Draw lays the cards out in the middle of the page, smaller than asked if
// that is what it takes to hold them all; Sheets deals out as many as fit.
func (s *Sheet) Draw(cv canvas.Canvas) {
	w, h := cv.Size()
	card := s.cardMM()
	across, down := room(w, h, card)
	for across*down < len(s.Cards) && card > 1 {
		card *= 0.98
		across, down = room(w, h, card)
	}
	tall := card * cardAspect
	rows := min(down, (len(s.Cards)+across-1)/across)
	across = min(across, len(s.Cards))
	block := canvas.Box{X: (w - float64(across)*card) / 2, Y: (h - float64(rows)*tall) / 2, W: float64(across) * card, H: float64(rows) * tall}
	for i, c := range s.Cards[:min(len(s.Cards), across*rows)] {
		at := canvas.Box{X: block.X + float64(i%across)*card, Y: block.Y + float64(i/across)*tall, W: card, H: tall}
		c.Draw(canvas.Part(cv, at, Upright.WidthMM, Upright.HeightMM))
	}
	for i := 0; i <= across; i++ {
		x := block.X + float64(i)*card
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
