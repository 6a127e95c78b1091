package canvas

// Box is a rectangle on the paper, in mm from the top left corner.
type Box struct{ X, Y, W, H float64 }

// Right and Bottom return the far edges, mm.
func (b Box) Right() float64 { return b.X + b.W }

// Bottom returns the lower edge, mm.
func (b Box) Bottom() float64 { return b.Y + b.H }

// Inset returns the box smaller by d on every side.
func (b Box) Inset(d float64) Box { return b.InsetXY(d, d) }

// InsetXY returns the box smaller by dx left and right and dy above and below.
func (b Box) InsetXY(dx, dy float64) Box {
	return Box{b.X + dx, b.Y + dy, b.W - 2*dx, b.H - 2*dy}
}

// CutTop splits off a strip of height h at the top.
func (b Box) CutTop(h float64) (top, rest Box) {
	return Box{b.X, b.Y, b.W, h}, Box{b.X, b.Y + h, b.W, b.H - h}
}

// CutBottom splits off a strip of height h at the bottom.
func (b Box) CutBottom(h float64) (bottom, rest Box) {
	return Box{b.X, b.Y + b.H - h, b.W, h}, Box{b.X, b.Y, b.W, b.H - h}
}

// CutLeft splits off a strip of width w at the left.
func (b Box) CutLeft(w float64) (left, rest Box) {
	return Box{b.X, b.Y, w, b.H}, Box{b.X + w, b.Y, b.W - w, b.H}
}

// CutRight splits off a strip of width w at the right.
func (b Box) CutRight(w float64) (right, rest Box) {
	return Box{b.X + b.W - w, b.Y, w, b.H}, Box{b.X, b.Y, b.W - w, b.H}
}

// Column returns column i of n, with gaps of gap mm between them.
func (b Box) Column(i, n int, gap float64) Box {
	w := (b.W - gap*float64(n-1)) / float64(n)
	return Box{b.X + float64(i)*(w+gap), b.Y, w, b.H}
}

// Row returns row i of n, with gaps of gap mm between them.
func (b Box) Row(i, n int, gap float64) Box {
	h := (b.H - gap*float64(n-1)) / float64(n)
	return Box{b.X, b.Y + float64(i)*(h+gap), b.W, h}
}

// Contains reports whether o lies inside b, with 0.01 mm of tolerance.
func (b Box) Contains(o Box) bool {
	const e = 0.01
	return o.X >= b.X-e && o.Y >= b.Y-e && o.Right() <= b.Right()+e && o.Bottom() <= b.Bottom()+e
}

// Overlaps reports whether the boxes share more than a 0.01 mm sliver.
func (b Box) Overlaps(o Box) bool {
	const e = 0.01
	return o.X < b.Right()-e && b.X < o.Right()-e && o.Y < b.Bottom()-e && b.Y < o.Bottom()-e
}
