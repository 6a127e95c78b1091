package swatches

import (
	"cmp"
	"math"
	"slices"

	"tawny/colour"
	"tawny/colour/canvas"
)

// ReflectanceChart shows reflectance against wavelength: of skin, film and
// target. Curves are told apart by their strokes.
type ReflectanceChart struct {
	Heading
	Curves  []Curve
	Remark  string          // a line under the key, such as why a curve is missing
	Viewing *colour.Viewing // for the patches in the key; nil is D65/2
}

// Curve is one reflectance.
type Curve struct {
	Name        string
	Reflectance colour.Spectrum
}

// Draw draws the curves over axes, with the colours of the spectrum in words
// along the foot and a key below.
func (c *ReflectanceChart) Draw(cv canvas.Canvas, page canvas.Box) {
	rest := c.Heading.drawHeading(cv, page)
	v := cmp.Or(c.Viewing, colour.D65)
	high := 0.0
	var key []legend
	for i, k := range c.Curves {
		for _, r := range k.Reflectance {
			high = math.Max(high, r)
		}
		rgb, _ := v.Screen(v.Lab(&k.Reflectance))
		key = append(key, legend{name: k.Name, stroke: strokes[i], width: 0.45, colour: rgb, swatch: true})
	}
	if c.Remark != "" {
		remark := paragraphs{c.Remark}
		line, above := rest.CutBottom(remark.height(rest.W, noteStyle))
		remark.draw(cv, line, noteStyle)
		_, rest = above.CutBottom(1)
	}
	foot, plot := rest.CutBottom(legendHeight(rest.W, key))
	_, top := spanning(0, high, 0.1, 5)
	a := newAxes(cv, plot, colour.FirstNM, colour.LastNM, 0, top, "wavelength, nm", "reflectance (1 = all light returned)")
	for _, w := range []struct {
		name     string
		from, to float64
	}{{"violet", 380, 440}, {"blue", 440, 490}, {"green", 490, 565}, {"yellow", 565, 595}, {"orange", 595, 625}, {"red", 625, 730}} {
		p, q := a.at(w.from, top), a.at(w.to, top)
		canvas.Line(cv, canvas.Box{X: p.X, Y: p.Y, W: q.X - p.X, H: 3.4}, w.name, tickStyle.Sized(2.5), canvas.Centre)
	}
	nm := colour.Wavelengths()
	for i, k := range c.Curves {
		cv.Line(a.points(nm, k.Reflectance[:]), 0.45, ink, strokes[i]...)
	}
	drawLegend(cv, foot, key)
}

// PlaneChart shows colours on the a*b* plane: skin, target, blend, and the
// region that a drawer can reach.
type PlaneChart struct {
	Heading
	Skin      Patch
	Target    *Patch
	Blend     *Patch
	Reachable []colour.Lab // corners of the region, in order round it; empty for none
	Viewing   *colour.Viewing
}

type plotted struct {
	Patch
	mark mark
	open bool // an outline that what lies under it shows through
}

// clear is how far from the point its name keeps, mm.
func (p plotted) clear() float64 {
	if p.open {
		return 1.2*openMark + 0.7
	}
	return 2.8
}

func (c *PlaneChart) patches() []plotted {
	all := []plotted{{Patch: c.Skin, mark: disc}}
	if c.Blend != nil {
		all = append(all, plotted{Patch: *c.Blend, mark: square})
	}
	if c.Target != nil {
		all = append(all, plotted{*c.Target, diamond, true})
	}
	return all
}

// Draw draws the plane with equal scales, so that a distance is a difference,
// each colour as its own mark with its name beside it. The target comes last and
// is an outline, so that a blend which meets it is seen inside it.
func (c *PlaneChart) Draw(cv canvas.Canvas, page canvas.Box) {
	rest := c.Heading.drawHeading(cv, page)
	v := cmp.Or(c.Viewing, colour.D65)
	all := c.patches()
	var key []legend
	a0, a1, b0, b1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	see := func(l colour.Lab) {
		a0, a1, b0, b1 = math.Min(a0, l.A), math.Max(a1, l.A), math.Min(b0, l.B), math.Max(b1, l.B)
	}
	for _, p := range all {
		see(p.Lab)
		rgb, _ := v.Screen(p.Lab)
		key = append(key, legend{name: p.Name + ", " + labText(p.Lab), mark: p.mark, open: p.open, swatch: p.open, point: true, colour: rgb})
	}
	for _, l := range c.Reachable {
		see(l)
	}
	if len(c.Reachable) > 0 {
		key = append(key, legend{name: "edge of what the powders reach", stroke: strokes[1], width: 0.3})
	}
	var foot, plot canvas.Box
	if page.W > page.H {
		// The plane is about as wide as high; the key fills what is left.
		foot, plot = rest.CutRight(legendWidth(key))
		plot.W -= gutter
		_, foot = foot.CutTop(aboveAxis)
	} else {
		foot, plot = rest.CutBottom(legendHeight(rest.W, key))
	}
	// One scale for both axes: the span that needs more decides.
	w, h := plot.W-leftOfAxis-2, plot.H-belowAxis-aboveAxis
	da, db := math.Max(a1-a0, 4)*1.3, math.Max(b1-b0, 4)*1.3
	unit := math.Max(da/w, db/h)
	ma, mb := (a0+a1)/2, (b0+b1)/2
	a := newAxes(cv, plot, ma-unit*w/2, ma+unit*w/2, mb-unit*h/2, mb+unit*h/2, "a*: greener to the left, redder to the right", "b*: yellower upwards, bluer downwards")
	if len(c.Reachable) > 0 {
		var edge []canvas.Point
		for _, l := range c.Reachable {
			edge = append(edge, a.at(l.A, l.B))
		}
		cv.Shape(edge, colour.RGB8{R: 236, G: 236, B: 236})
		cv.Line(append(edge, edge[0]), 0.3, softInk, strokes[1]...)
	}
	edge := alongEdge(a, c.Reachable)
	var taken []canvas.Box
	for i, p := range all {
		at := a.at(p.Lab.A, p.Lab.B)
		if p.open {
			drawOpenMark(cv, at, p.mark, openMark)
		} else {
			drawMark(cv, at, p.mark, 1.9, key[i].colour)
		}
		r := p.clear() - 0.5
		taken = append(taken, canvas.Box{X: at.X - r, Y: at.Y - r, W: 2 * r, H: 2 * r})
	}
	for _, p := range all {
		taken = append(taken, nameBeside(cv, a, a.at(p.Lab.A, p.Lab.B), p.Name, p.clear(), taken, edge))
	}
	drawLegend(cv, foot, key)
}

// alongEdge returns small boxes along the region's edge, so that no name is
// written across it.
func alongEdge(a *axes, corners []colour.Lab) (boxes []canvas.Box) {
	for i := range corners {
		p, q := corners[i], corners[(i+1)%len(corners)]
		from, to := a.at(p.A, p.B), a.at(q.A, q.B)
		n := int(math.Hypot(to.X-from.X, to.Y-from.Y)) + 1
		for k := range n {
			t := float64(k) / float64(n)
			boxes = append(boxes, canvas.Box{X: from.X + t*(to.X-from.X) - 0.5, Y: from.Y + t*(to.Y-from.Y) - 0.5, W: 1, H: 1})
		}
	}
	return boxes
}

// nameBeside writes a point's name in the first place near it that is free: at its
// sides, over or under it, else farther out with a line leading to it. The region's
// edge is crossed only where there is no other room.
func nameBeside(cv canvas.Canvas, a *axes, at canvas.Point, name string, clear float64, taken, edge []canvas.Box) canvas.Box {
	st := noteStyle.In(ink)
	w, h := min(canvas.Width(canvas.Clean(name), st)+0.2, a.box.W), st.Size
	for _, avoid := range [][]canvas.Box{slices.Concat(taken, edge), taken} {
		for r := clear; r <= 30; r += 1.5 {
			for _, twelfth := range [12]float64{0, 6, 9, 3, 1, 2, 4, 5, 7, 8, 10, 11} {
				sin, cos := math.Sincos(twelfth * math.Pi / 6)
				end := canvas.Point{X: at.X + r*cos, Y: at.Y + r*sin}
				b := canvas.Box{X: end.X - w*(1-cos)/2, Y: end.Y - h*(1-sin)/2, W: w, H: h}
				if !a.box.Contains(b) || slices.ContainsFunc(avoid, b.Overlaps) {
					continue
				}
				if r > clear {
					cv.Line([]canvas.Point{{X: at.X + (clear-0.6)*cos, Y: at.Y + (clear-0.6)*sin}, end}, 0.2, ink)
				}
				canvas.Line(cv, b, name, st, canvas.Left)
				return b
			}
		}
	}
	return canvas.Box{}
}

// LoadChart shows how a blend's colour grows with its load: lightness, chroma
// and hue one above the other.
type LoadChart struct {
	Heading
	Points []LoadPoint // by rising load
	Target *Patch
	Skin   *Patch  // load 0
	Chosen float64 // load of the blend that was chosen, % w/w; 0 for none
}

// LoadPoint is the colour at one load.
type LoadPoint struct {
	Percent float64 // % w/w of the product
	Lab     colour.Lab
}

// Draw draws the three panels over one scale of loads.
func (c *LoadChart) Draw(cv canvas.Canvas, page canvas.Box) {
	rest := c.Heading.drawHeading(cv, page)
	points := c.Points
	if c.Skin != nil && points[0].Percent > 0 {
		points = append([]LoadPoint{{0, c.Skin.Lab}}, points...)
	}
	key := []legend{{name: "blend", width: 0.45}}
	if c.Target != nil {
		key = append(key, legend{name: "target", width: 0.35, stroke: strokes[1]})
	}
	if c.Skin != nil {
		rgb, _ := colour.SRGB(c.Skin.Lab)
		key = append(key, legend{name: "bare skin", mark: disc, point: true, colour: rgb})
	}
	if c.Chosen > 0 {
		key = append(key, legend{name: "chosen, " + amount(c.Chosen) + " %", width: 0.35, stroke: strokes[2]})
	}
	foot, rest := rest.CutBottom(legendHeight(rest.W, key))
	x := make([]float64, len(points))
	for i, p := range points {
		x[i] = p.Percent
	}
	most := x[len(x)-1]
	left := 0.0
	if c.Skin != nil {
		left = -0.025 * most // room for the bare skin's mark beside the scale
	}
	for i, panel := range []struct {
		name  string
		value func(colour.Lab) float64
		least float64
	}{
		{"lightness L*", func(l colour.Lab) float64 { return l.L }, 2},
		{"chroma C* (strength)", colour.Lab.Chroma, 2},
		{"hue h, degrees (redder down, yellower up)", func(l colour.Lab) float64 { return l.LCh().H }, 4},
	} {
		y := make([]float64, len(points))
		for k, p := range points {
			y[k] = panel.value(p.Lab)
			if i == 2 && k > 0 { // no jump at 360°
				y[k] = y[k-1] + math.Remainder(y[k]-y[k-1], 360)
			}
		}
		low, high := slices.Min(y), slices.Max(y)
		target := math.NaN()
		if c.Target != nil {
			target = panel.value(c.Target.Lab)
			if i == 2 {
				target = y[0] + math.Remainder(target-y[0], 360)
			}
			low, high = math.Min(low, target), math.Max(high, target)
		}
		box := panelBox(rest, i)
		if c.Skin != nil {
			low -= 0.12 * (high - low) // so that the mark stands clear of the axis
		}
		low, high = spanning(low, high, panel.least, ticksUp(box.H-aboveAxis-belowAxisShort))
		xName := ""
		if i == 2 {
			xName = "load, % w/w of the product"
		}
		a := newAxes(cv, box, left, most, low, high, xName, panel.name)
		if c.Target != nil {
			cv.Line([]canvas.Point{a.at(left, target), a.at(most, target)}, 0.35, ink, strokes[1]...)
		}
		if c.Chosen > 0 && c.Chosen <= most {
			cv.Line([]canvas.Point{a.at(c.Chosen, low), a.at(c.Chosen, high)}, 0.35, ink, strokes[2]...)
		}
		cv.Line(a.points(x, y), 0.45, ink)
		if c.Skin != nil {
			rgb, _ := colour.SRGB(c.Skin.Lab)
			drawMark(cv, a.at(x[0], y[0]), disc, 1.4, rgb)
		}
	}
	drawLegend(cv, foot, key)
}

// panelBox gives the last of three panels the room its axis name needs.
func panelBox(b canvas.Box, i int) canvas.Box {
	h := (b.H - 4) / 3
	p := canvas.Box{X: b.X, Y: b.Y + float64(i)*h, W: b.W, H: h}
	if i == 2 {
		p.H += 4
	}
	return p
}
