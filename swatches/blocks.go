package swatches

import "tawny/colour/canvas"

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

// stacked is the height of blocks one under the other, mm.
func stacked(blocks []Block, width float64) (h float64) {
	for i, b := range blocks {
		h += gapBefore(blocks, i) + b.height(width)
	}
	return h
}

// stack draws blocks one under the other with a hairline between them.
func stack(cv canvas.Canvas, b canvas.Box, blocks []Block) {
	for i, k := range blocks {
		gap := gapBefore(blocks, i)
		if gap == blockGap {
			cv.Fill(canvas.Box{X: b.X, Y: b.Y + gap/2, W: b.W, H: 0.2}, hairline)
		}
		_, b = b.CutTop(gap)
		var at canvas.Box
		at, b = b.CutTop(k.height(b.W))
		k.draw(cv, at)
	}
}

// Text is lines under a name.
type Text struct {
	Name  string
	Lines []string
	Small bool // remarks
}

func (t Text) style() canvas.Style {
	if t.Small {
		return noteStyle
	}
	return bodyStyle
}

func (t Text) height(width float64) float64 {
	h := paragraphs(t.Lines).height(width, t.style()) + 0.01
	if t.Name != "" {
		h += paragraphs{t.Name}.height(width, t.style().Strong())
	}
	return h
}

func (t Text) draw(cv canvas.Canvas, b canvas.Box) {
	if t.Name != "" {
		b = paragraphs{t.Name}.draw(cv, b, t.style().Strong().In(ink))
	}
	paragraphs(t.Lines).draw(cv, b, t.style())
}

// Columns are blocks beside each other, or one under the other where there is no
// room.
type Columns []Block

// leastColumn is the least width of a column of them, mm.
const leastColumn = 46.0

func (c Columns) at(width float64, i int) canvas.Box {
	return canvas.Box{W: width}.Column(i, len(c), gutter)
}

func (c Columns) height(width float64) (most float64) {
	if c.at(width, 0).W < leastColumn {
		return stacked(c, width)
	}
	for i, b := range c {
		most = max(most, b.height(c.at(width, i).W))
	}
	return most
}

func (c Columns) draw(cv canvas.Canvas, b canvas.Box) {
	if c.at(b.W, 0).W < leastColumn {
		stack(cv, b, c)
		return
	}
	for i, k := range c {
		k.draw(cv, b.Column(i, len(c), gutter))
	}
}
