package canvas

import "fmt"

// drawMissing draws the box that stands for a letter the font lacks, with its
// Unicode number inside in rows of two or three digits.
func drawMissing(c Canvas, at Point, r rune, st Style) {
	side := missingBox * st.Size
	b := Box{at.X + (missingAdvance-missingBox)/2*st.Size, at.Y - 0.80*st.Size, side, side}
	Frame(c, b, 0.05*st.Size, st.Colour)
	digits := fmt.Sprintf("%04X", r)
	half := (len(digits) + 1) / 2
	small := Style{Size: 0.40 * st.Size, Colour: st.Colour}
	if half > 2 {
		small.Size = 0.34 * st.Size
	}
	for i, row := range []string{digits[:half], digits[half:]} {
		line := b.Inset(0.06*st.Size).Row(i, 2, 0)
		x := line.X + (line.W-Width(row, small))/2
		c.Text(Point{x, line.Y + (line.H+small.CapHeight())/2}, row, small)
	}
}
