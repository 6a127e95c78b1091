package canvas

import (
	"fmt"
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"
)

// A letter the font lacks is drawn as those letters of its that the font has: a
// letter without its rare accent, a full-width one narrow. One of another script
// is a box with its Unicode number, so that a name is seen to be there and can be
// looked up.
const (
	missingAdvance = 1.02 // em
	missingBox     = 0.90 // em, side of the box
)

// Missing are the letters that were not drawn as they are written, each once.
type Missing []rune

// nearest is what the font has of a letter that it lacks, or "".
func (t *typeface) nearest(r rune) string {
	return strings.Map(func(part rune) rune {
		if part == r || !t.has(part) {
			return -1
		}
		return part
	}, norm.NFKD.String(string(r)))
}

// draw stands in for a letter the font lacks.
func (m *Missing) draw(c Canvas, at Point, r rune, st Style) {
	if !slices.Contains(*m, r) {
		*m = append(*m, r)
	}
	if near := faces[st.Weight].nearest(r); near != "" {
		c.Text(at, near, st)
		return
	}
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
