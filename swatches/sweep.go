package swatches

import (
	"cmp"
	"fmt"

	"tawny/colour"
	"tawny/colour/canvas"
)

// Sweep is a look from towards the lamp to away from it, in one run of colour.
type Sweep struct {
	Viewing *colour.Viewing
	Deg     []float64 // aspecular angles, rising
	Labs    []colour.Lab
	Marks   []float64 // angles that are marked
}

const sweepMM = 6.0

func (s Sweep) draw(cv canvas.Canvas, b canvas.Box) canvas.Box {
	strip, text := b.CutTop(sweepMM)
	first, last := s.Deg[0], s.Deg[len(s.Deg)-1]
	steps := int(b.W)
	for i := range steps {
		deg := first + (last-first)*(float64(i)+0.5)/float64(steps)
		from, to, t := colour.Place(deg, len(s.Deg), func(k int) float64 { return s.Deg[k] })
		rgb, _ := cmp.Or(s.Viewing, colour.D65).Screen(s.Labs[from].Towards(s.Labs[to], t))
		cv.Fill(strip.Column(i, steps, 0), rgb)
	}
	_, text = text.CutTop(1)
	numbers, text := text.CutTop(noteStyle.LineHeight())
	for _, deg := range s.Marks {
		x := b.X + (deg-first)/(last-first)*b.W
		cv.Fill(canvas.Box{X: x - 0.1, Y: strip.Bottom() - 1, W: 0.2, H: 1.8}, ink)
		name := fmt.Sprintf("%g°", deg)
		w := canvas.Width(name, noteStyle) + 0.1
		canvas.Line(cv, canvas.Box{X: max(b.X, min(x-w/2, b.Right()-w)), Y: numbers.Y, W: w, H: numbers.H}, name, noteStyle.In(ink), canvas.Left)
	}
	ends, rest := text.CutTop(noteStyle.LineHeight())
	canvas.Line(cv, ends, "towards the lamp's gleam", noteStyle, canvas.Left)
	canvas.Line(cv, ends, "away from it", noteStyle, canvas.Right)
	return rest
}
