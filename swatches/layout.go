package swatches

import (
	"math"
	"slices"

	"tawny/colour/canvas"
)

// Heights that a card's parts keep, mm.
const (
	leastArm    = 44.0 // of a card's picture
	leastRow    = 12.0 // of each of a board's, and of all of them
	leastRows   = 52.0
	leastFacing = 64.0 // of arms side by side
	rowsGap     = 3.5
	headGap     = 2.0  // over the title
	columnLeast = 13.5 // width of a column of numbers
	sideShare   = 0.44 // of a wide page that the words take
)

// cardLayout is where a card's parts stand. The pictures take what the words
// leave: no text is ever set smaller.
type cardLayout struct {
	head, rows, words canvas.Box
	blocks            []Block // that stand in words
	under             []Block // that stand under a single picture
	picture           float64 // height of each row's picture, mm
	least             float64 // height of page at which the pictures are tall enough, mm
}

// layout fits the card on a page. Upright: a single picture from edge to edge,
// then title and words; of several, title, rows and words one under the other.
// Wide: the words stand at the right.
func (c *Card) layout(page canvas.Box) (l cardLayout) {
	w, h := page.W, page.H
	n := float64(len(c.Rows))
	if c.facing() {
		n = 1
	}
	// Columns of numbers have room beside the words, or else stand over them.
	wide := w > h && float64(len(c.Rows[0].Looks)+1)*columnLeast <= w*(1-sideShare)
	single := len(c.Rows) == 1
	l.blocks = c.said()
	room := page.Inset(margin)
	left := room
	if wide {
		l.words, left = room.CutRight(room.W * sideShare)
		_, l.words = l.words.CutLeft(gutter)
	} else {
		l.words = room
	}
	rowsW := left.W
	if single {
		rowsW = w - room.W + left.W
		if wide {
			rowsW = left.W + margin
		}
	} else {
		l.blocks = l.blocks[1:]
		l.head, _ = room.CutTop(height(room.W, c.Heading))
	}
	if single {
		l.under = []Block{columnNames{c.names(), margin}}
		for i, b := range l.blocks {
			if _, ok := b.(Numbers); ok && wide {
				l.under, l.blocks = []Block{b}, slices.Delete(slices.Clone(l.blocks), i, i+1)
				break
			}
		}
	}
	fixed := c.drawRows(nowhere{}, canvas.Box{W: rowsW}, 0, l.under).Y
	words := height(l.words.W, l.blocks...)
	least := max(leastRow, leastRows/n)
	switch {
	case single && c.Small:
		least = leastRows * 0.42
	case single:
		least = leastArm
	case c.facing():
		least = leastFacing
	}
	switch {
	case single && wide:
		l.least = max(fixed+least+margin, words+2*margin)
		l.rows = canvas.Box{X: page.X, Y: page.Y, W: rowsW, H: h}
		l.picture = h - fixed - margin
	case single:
		l.least = fixed + least + headGap + words + margin
		l.picture = h - words - headGap - margin - fixed
		l.rows, _ = page.CutTop(fixed + l.picture)
		_, l.words = room.CutTop(l.rows.H + headGap - margin)
	default:
		head := l.head.H + gutter/2
		body := 2*margin + head + fixed
		l.least = body + n*least
		used := body
		if wide {
			l.least = max(l.least, 2*margin+head+words)
			_, l.words = l.words.CutTop(head)
		} else if words > 0 {
			l.least += words + ruleGap
			used += words + ruleGap
			l.words, _ = room.CutBottom(words)
		}
		l.picture = (h - used) / n
		_, l.rows = left.CutTop(head)
	}
	return l
}

// Paper returns the paper made larger, where it must be, to hold all that stands
// on the card: text keeps its size.
func (c *Card) Paper(p Paper) Paper {
	p = p.filled()
	if n := float64(len(c.Rows[0].Looks) + 1); n*columnLeast+2*margin > p.WidthMM && p.WidthMM < p.HeightMM {
		p.WidthMM = n*columnLeast + 2*margin
	}
	if p.WidthMM >= Upright.WidthMM && p.WidthMM < p.HeightMM && len(c.Rows) > 1 && c.layout(p.page()).least > 1.8*p.HeightMM {
		p.WidthMM, p.HeightMM = A4.WidthMM, A4.HeightMM // a page rather than a strip
	}
	for range 2 { // once more where a wide page has become an upright one
		if least := c.layout(p.page()).least; least > p.HeightMM {
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
	var back []Block
	for len(front.Blocks) > 0 && front.layout(p.page()).least > p.HeightMM {
		last := len(front.Blocks) - 1
		back = append([]Block{front.Blocks[last]}, back...)
		front.Blocks = front.Blocks[:last:last]
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
	l := c.layout(page)
	if l.head.H > 0 {
		c.Heading.draw(cv, l.head)
	}
	c.drawRows(cv, l.rows, l.picture, l.under)
	stack(cv, l.words, l.blocks)
}

// said is all that is said of the pictures, the heading first.
func (c *Card) said() []Block {
	all := []Block{c.Heading}
	if c.Lead != "" {
		all = append(all, Text{Lines: []string{c.Lead}})
	}
	all = append(all, c.Blocks...)
	for i := range c.Rows {
		if c.Rows[i].lit() {
			return append(all, Text{Lines: []string{c.pictureWords()}, Small: true})
		}
	}
	return all
}

// pictureWords tell what light the pictures are in. Light above a perfect
// diffuser's is rolled off.
func (c *Card) pictureWords() string {
	where := "above"
	if c.facing() {
		where = "at the left"
	}
	s := "Picture: " + c.Rig.Words(where) + ", highlights toned down"
	if !c.Plain {
		s += "; strip: even light"
	}
	return s + "."
}
