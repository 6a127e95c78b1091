package swatches

import (
	"fmt"

	"tawny/colour"
	"tawny/colour/canvas"
)

// Ladder shows numbered patches about a colour, for an eye to pick the one most
// like what lies before it.
type Ladder struct {
	Heading
	Patches []Patch // Name says how each differs; numbered from 1 in this order
	PerRow  int     // 0 means 9
	Viewing *colour.Viewing
}

// MaxLadder is how many patches a ladder has room for.
const MaxLadder = 36

// Check reports the first thing that cannot be drawn.
func (l *Ladder) Check() error {
	if n := len(l.Patches); n < 2 || n > MaxLadder {
		return fmt.Errorf("the ladder has %d patches; 2 to %d are accepted", n, MaxLadder)
	}
	if l.PerRow < 0 || l.PerRow > 12 {
		return fmt.Errorf("the ladder has %d patches to a row; at most 12 are accepted", l.PerRow)
	}
	return checkLabs(l.Patches)
}

// Draw lays the patches out in rows that touch, each with its number below.
func (l *Ladder) Draw(cv canvas.Canvas) {
	per := l.PerRow
	if per == 0 {
		per = 9
	}
	rows := (len(l.Patches) + per - 1) / per
	rest := l.Heading.drawHeading(cv)
	for i, p := range l.Patches {
		cell := rest.Row(i/per, rows, 2).Column(i%per, per, 0)
		words := paragraphs{p.Name}
		label, patch := cell.CutBottom(4 * noteStyle.LineHeight())
		rgb, _ := viewing(l.Viewing).Screen(p.Lab)
		cv.Fill(patch, rgb)
		number, label := label.CutTop(noteStyle.LineHeight())
		canvas.Line(cv, number, fmt.Sprint(i+1), columnStyle, canvas.Left)
		words.draw(cv, label.InsetXY(0.3, 0), noteStyle)
	}
}
