package swatches

import (
	"math"
	"slices"

	"tawny/colour/canvas"
	"tawny/swatches/shimmer"
)

// Heights that a card's parts keep, mm.
const (
	leastArm    = 44.0 // of a card's picture
	leastRow    = 12.0 // of each of a board's, and of all of them
	leastRows   = 52.0
	leastFacing = 60.0 // of arms side by side
	rowsGap     = 3.5
	smallRows   = 0.8  // of that, where it saves a back
	headGap     = 2.0  // over the title
	columnLeast = 13.5 // width of a column of numbers
	sideShare   = 0.44 // of a wide page that the words take, and the most of one that must hold them
	mostSide    = 0.56
)

// lying tells whether the words stand at the right of a page. Columns of numbers
// have room beside them, or else stand over them.
func (c *Card) lying(page canvas.Box) bool {
	return page.W > page.H && float64(len(c.Rows[0].Looks)+1)*columnLeast <= page.W*(1-c.sideShare())
}

func (c *Card) sideShare() float64 { return max(sideShare, c.side) }

// set draws the card with pictures of a height, mm, and tells how far down the page
// the arms reach and the words. Upright: a single picture from edge to edge, then
// title and words; of several, title, rows and words one under the other.
func (c *Card) set(cv canvas.Canvas, page canvas.Box, picture float64) (arms, words float64) {
	lying, single := c.lying(page), len(c.Rows) == 1
	blocks := c.said()
	room := page.Inset(margin)
	if !single {
		room = c.Heading.draw(cv, room)
		room = below(room, room.Y+gutter/2)
		blocks = blocks[1:]
	}
	left, side := room, room
	if lying {
		side, left = room.CutRight(room.W * c.sideShare())
		_, side = side.CutLeft(gutter)
	}
	under := []Block{columnNames{c.names(), c.Rows[0].ends(), margin}}
	if single {
		left = canvas.Box{X: page.X, Y: page.Y, W: left.Right() - page.X, H: page.H}
		if !lying {
			left.W += margin
		}
	}
	for i, b := range blocks {
		n, ok := b.(Numbers)
		if !ok || !single {
			continue
		}
		n.bleed, n.inside = margin, !lying // in the picture's columns
		blocks = slices.Clone(blocks)
		if blocks[i] = n; lying {
			under, blocks = []Block{n}, slices.Delete(blocks, i, i+1)
		}
		break
	}
	left = c.drawRows(cv, left, picture, under)
	switch {
	case lying:
	case single:
		side = below(side, left.Y+headGap)
	case len(blocks) > 0:
		side = below(side, left.Y+ruleGap)
	}
	return left.Y - page.Y, stack(cv, side, blocks).Y - page.Y
}

// layout returns the height of each row's picture, mm, on a page, and that of the
// page at which they are tall enough. The pictures take what the words leave: no
// text is ever set smaller.
func (c *Card) layout(page canvas.Box) (picture, least float64) {
	arms, words := c.set(nowhere{}, page, 0)
	n := float64(len(c.Rows))
	least = max(leastRow, leastRows/n)
	switch {
	case n == 1 && c.Small:
		least = leastRows * 0.42
	case n == 1:
		least = leastArm
	case c.facing():
		n, least = 1, leastFacing
	}
	if least *= n; c.Small && len(c.Rows) > 1 {
		least *= smallRows
	}
	if c.lying(page) {
		return (page.H - margin - arms) / n, margin + max(arms+least, words)
	}
	fixed := margin + max(arms, words)
	return (page.H - fixed) / n, fixed + least
}

// least is the height of a page of a size that holds the card, mm.
func (c *Card) least(page canvas.Box) float64 {
	_, least := c.layout(page)
	return least
}

// spills tells whether the words run off a page, or leave its pictures too little.
func (c *Card) spills(page canvas.Box) bool {
	if c.lying(page) {
		_, words := c.set(nowhere{}, page, 0)
		return margin+words > page.H
	}
	return c.least(page) > page.H
}

// Paper returns the paper made larger, where it must be, to hold all that stands
// on the card: text keeps its size.
func (c *Card) Paper(p Paper) Paper {
	p = p.filled()
	if n := float64(len(c.Rows[0].Looks) + 1); n*columnLeast+2*margin > p.WidthMM && p.WidthMM < p.HeightMM {
		p.WidthMM = n*columnLeast + 2*margin
	}
	most := 1.8 * p.HeightMM
	if c.facing() {
		most = p.HeightMM
	}
	if p.WidthMM >= Upright.WidthMM && p.WidthMM < p.HeightMM && len(c.Rows) > 1 && c.least(p.page()) > most {
		p.WidthMM, p.HeightMM = A4.WidthMM, A4.HeightMM // a page rather than a strip
	}
	for range 2 { // once more where a wide page has become an upright one
		if least := c.least(p.page()); least > p.HeightMM {
			p.HeightMM = math.Ceil(least)
		}
	}
	return p
}

// Pages returns the card on paper of a size that must be kept: what does not
// fit stands on its back.
func (c *Card) Pages(p Paper) []Drawing {
	p = p.filled()
	front := *c
	if small := front; len(c.Rows) > 1 {
		if small.Small = true; !small.spills(p.page()) {
			front = small
		}
	}
	for c.lying(p.page()) && front.side < mostSide && front.spills(p.page()) {
		front.side = front.sideShare() + 0.02
	}
	if front.spills(p.page()) {
		front.side = 0 // it has a back, and its picture the room
	}
	var back []Block
	for len(front.Blocks) > 0 && front.spills(p.page()) {
		i := toBack(front.Blocks)
		back = append([]Block{front.Blocks[i]}, back...)
		front.Blocks = slices.Delete(slices.Clone(front.Blocks), i, i+1)
	}
	pages := []Drawing{&front}
	if len(back) > 0 {
		back = append(back, c.Back...)
	}
	page := p.page().Inset(margin)
	for len(back) > 0 {
		n := 1
		for n < len(back) && height(page.W, append([]Block{c.Heading}, back[:n+1]...)...) <= page.H {
			n++
		}
		pages = append(pages, &reverse{c.Heading, roomy(back[:n], page.W, page.H-height(page.W, c.Heading)-blockGap)})
		back = back[n:]
	}
	return pages
}

// roomy sets small print as large as the rest, from the last of it, where there is
// room.
func roomy(blocks []Block, width, room float64) []Block {
	blocks = slices.Clone(blocks)
	for i, b := range slices.Backward(blocks) {
		if t, ok := b.(Text); ok && t.Small {
			t.Small = false
			blocks[i] = t
			if height(width, blocks...) > room {
				blocks[i] = b
			}
		}
	}
	return blocks
}

// reverse is a page of words.
type reverse struct {
	Heading
	blocks []Block
}

// Draw sets the words.
func (r *reverse) Draw(cv canvas.Canvas, page canvas.Box) {
	stack(cv, page.Inset(margin), append([]Block{r.Heading}, r.blocks...))
}

// Draw lays the card out.
func (c *Card) Draw(cv canvas.Canvas, page canvas.Box) {
	picture, _ := c.layout(page)
	c.set(cv, page, picture)
}

// said is all that is said of the pictures, the heading first.
func (c *Card) said() []Block {
	all := []Block{c.Heading}
	if c.Lead != "" {
		all = append(all, Text{Lines: []string{c.Lead}})
	}
	all = append(all, c.Blocks...)
	return append(all, Text{Lines: []string{c.pictureWords()}, Small: true})
}

// pictureWords tell what the pictures are and what light they are in. Light above a perfect
// diffuser's is rolled off.
func (c *Card) pictureWords() string {
	s := "Picture: worked out, not a photo"
	if c.Unmeasured != "" {
		s += " (" + c.Unmeasured + " not measured)"
	}
	if !slices.ContainsFunc(c.Rows, func(r Row) bool { return r.lit() }) {
		return s + "; flat colours, as in even light from all round."
	}
	where := "above"
	if c.facing() {
		where = "at the left"
	}
	s += "; " + c.Rig.Words(where)
	if c.Rig != shimmer.Even {
		s += ", highlights toned down"
	}
	if !c.Plain {
		s += "; strip: even light"
	}
	return s + "."
}
