package swatches

import (
	"image"
	"slices"

	"tawny/colour"
	"tawny/colour/canvas"
)

// blockGap is the room between two blocks, a hairline in its middle, mm.
const blockGap = 2 * ruleGap

// gapBefore is the room over a block: none over the first, little between lines
// of small print and over a sentence under the heading.
func gapBefore(blocks []Block, i int) float64 {
	if i == 0 {
		return 0
	}
	_, head := blocks[i-1].(Heading)
	lead, text := blocks[i].(Text)
	if head && text && lead.Name == "" || small(blocks[i]) && small(blocks[i-1]) {
		return 0.4
	}
	return blockGap
}

func small(b Block) bool {
	t, ok := b.(Text)
	return ok && t.Small
}

// nowhere is paper that nothing is drawn on, to see how much room it takes.
type nowhere struct{}

func (nowhere) Fill(canvas.Box, colour.RGB8)                          {}
func (nowhere) Shape([]canvas.Point, colour.RGB8)                     {}
func (nowhere) Line([]canvas.Point, float64, colour.RGB8, ...float64) {}
func (nowhere) Text(canvas.Point, string, canvas.Style)               {}
func (nowhere) Image(canvas.Box, *image.RGBA)                         {}
func (nowhere) Pixels(canvas.Box) (width, height int)                 { return 0, 0 }

// height is how high blocks are, one under the other, mm.
func height(width float64, blocks ...Block) float64 {
	return stack(nowhere{}, canvas.Box{W: width}, blocks).Y
}

// below is what is left of a box under a height on the page.
func below(b canvas.Box, y float64) canvas.Box {
	_, rest := b.CutTop(y - b.Y)
	return rest
}

// stack draws blocks one under the other with a hairline between them.
func stack(cv canvas.Canvas, b canvas.Box, blocks []Block) canvas.Box {
	for i, k := range blocks {
		gap := gapBefore(blocks, i)
		if gap == blockGap {
			cv.Fill(canvas.Box{X: b.X, Y: b.Y + gap/2, W: b.W, H: 0.2}, hairline)
		}
		_, b = b.CutTop(gap)
		b = k.draw(cv, b)
	}
	return b
}

// hair keeps a block's last line inside it, whatever the rounding, mm.
const hair = 0.01

// Text is lines under a name.
type Text struct {
	Name  string
	Lines []string
	Small bool // remarks
	Front bool // never on a back while anything else is on the front
}

// toBack is the place of the last block that a back may take; the last of all where
// each is to stay.
func toBack(blocks []Block) int {
	for i, b := range slices.Backward(blocks) {
		if c, ok := b.(Columns); ok {
			b = c[0]
		}
		if t, ok := b.(Text); !ok || !t.Front {
			return i
		}
	}
	return len(blocks) - 1
}

func (t Text) draw(cv canvas.Canvas, b canvas.Box) canvas.Box {
	st := bodyStyle
	if t.Small {
		st = noteStyle
	}
	b = paragraphs{t.Name}.draw(cv, b, st.Strong().In(ink))
	b = paragraphs(t.Lines).draw(cv, b, st)
	return below(b, b.Y+hair)
}

// Columns are blocks beside each other, or one under the other where there is no
// room.
type Columns []Block

// leastColumn is the least width of a column of them, mm.
const leastColumn = 46.0

func (c Columns) draw(cv canvas.Canvas, b canvas.Box) canvas.Box {
	if b.Column(0, len(c), gutter).W < leastColumn {
		return stack(cv, b, c)
	}
	y := b.Y
	for i, k := range c {
		y = max(y, k.draw(cv, b.Column(i, len(c), gutter)).Y)
	}
	return below(b, y)
}
