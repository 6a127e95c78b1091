package swatches

import (
	"cmp"
	"tawny/colour"
	"tawny/colour/canvas"
	"tawny/swatches/shimmer"
)

// What a card has room for.
const (
	MaxRows  = 6
	MaxLooks = 8
	MaxParts = 12
)

// Card is a page of pictures and what is said of them, as plain data. One row
// of looks is a card; several are a board; two with a gap told between them are
// a comparison.
type Card struct {
	Heading
	Lead   string // a sentence under the title
	Rows   []Row
	Rig    shimmer.Rig // light of the pictures, where looks have films
	Seed   uint64      // of their flakes' places
	Blocks []Block     // what is said beside the pictures, in this order
	Back   []Block     // what a back also says, where a card of a set size needs one
	Small  bool        // the picture may be small
	Plain  bool        // pictures only: no strip in even light, no numbers

	Unmeasured string // what the pictures rest on that nobody measured, such as "powders"

	side float64 // of a wide page that the words take, where that is more than sideShare
}

// Row is one arm: bare skin, then the looks on it, in one light.
type Row struct {
	Name    string
	Right   string          // at the other end of the name's line
	Gap     string          // how far this arm looks from the one at its left; arms are else one above the other
	Viewing *colour.Viewing // of every Lab in the row; nil is D65/2
	Skin    Patch
	Target  *Patch // nil where nothing was aimed at
	Looks   []Look
	Worn    int      // the look that is told to be worn, from 1: it has the most room; 0 for none
	Words   []string // under the row, such as its own blend
}

// Patch is one colour with its name.
type Patch struct {
	Name string
	Lab  colour.Lab
	// Film, where given, is how the patch is pictured.
	Film *shimmer.Film
}

// Look is one blend worn one way.
type Look struct {
	Patch
	Amount  string   // how much of it lies on the skin
	Matched bool     // the blend was matched here
	Words   []string // further lines under the numbers
}

// Block is a piece of what is said: as wide as it is told to be and as high as
// it needs. It is drawn from the top of a box, and what is left of the box under it
// returned.
type Block interface {
	draw(cv canvas.Canvas, b canvas.Box) (rest canvas.Box)
}

// lit tells whether the row has an arm to picture.
func (r *Row) lit() bool { return r.Skin.Film != nil }

// patches are the row's colours, bare skin first.
func (r *Row) patches() []Patch {
	all := []Patch{r.Skin}
	for _, l := range r.Looks {
		all = append(all, l.Patch)
	}
	return all
}

// wornRoom is how many times as broad as the others the look that is told to be worn
// is pictured.
const wornRoom = 1.5

// ends are where the row's films end along its arm, bare skin first, as shares of it.
func (r *Row) ends() (ends []float64) {
	all, at := float64(len(r.Looks)+1), 0.0
	if r.Worn > 0 {
		all += wornRoom - 1
	}
	for i := range len(r.Looks) + 1 {
		if at++; i == r.Worn && i > 0 {
			at += wornRoom - 1
		}
		ends = append(ends, at/all)
	}
	return ends
}

// columnOf is where the film that ends last of some stands across a box.
func columnOf(b canvas.Box, ends []float64) canvas.Box {
	from, last := 0.0, len(ends)-1
	if last > 0 {
		from = ends[last-1]
	}
	return canvas.Box{X: b.X + from*b.W, Y: b.Y, W: (ends[last] - from) * b.W, H: b.H}
}

// film is where film i stands on the row's arm.
func (c *Card) film(b canvas.Box, r *Row, i int) canvas.Box {
	if ends := r.ends()[:i+1]; c.facing() {
		at := columnOf(canvas.Box{X: b.Y, W: b.H}, ends)
		return canvas.Box{X: b.X, Y: at.X, W: b.W, H: at.W}
	} else {
		return columnOf(b, ends)
	}
}

// paint fills a box with a colour as a screen shows it.
func (r *Row) paint(cv canvas.Canvas, b canvas.Box, l colour.Lab) {
	rgb, _ := cmp.Or(r.Viewing, colour.D65).Screen(l)
	cv.Fill(b, rgb)
}
