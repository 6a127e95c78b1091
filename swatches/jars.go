package swatches

import (
	"cmp"
	"tawny/colour"
	"tawny/colour/canvas"
)

// Jars show the product in the jar, seen from above: each a disc in its rim with
// its name and numbers beside it. What is in a jar is too deep to see through
// and its flakes lie every way, so it never looks as on skin.
type Jars struct {
	Viewing *colour.Viewing
	Patches []Patch
}

const jarMM = 10.0

func (j Jars) text(i int, width float64) (lines paragraphs, room float64) {
	p := j.Patches[i]
	return paragraphs{p.Name, labText(p.Lab)}, canvas.Box{W: width}.Column(i, len(j.Patches), columnGap).W - jarMM - 1.5
}

func (j Jars) height(width float64) (most float64) {
	most = jarMM
	for i := range j.Patches {
		lines, room := j.text(i, width)
		most = max(most, lines[:1].height(room, columnStyle)+lines[1:].height(room, noteStyle)+0.01)
	}
	return most
}

func (j Jars) draw(cv canvas.Canvas, b canvas.Box) {
	for i, p := range j.Patches {
		cell := b.Column(i, len(j.Patches), columnGap)
		at := canvas.Point{X: cell.X + jarMM/2, Y: cell.Y + cell.H/2}
		rgb, _ := cmp.Or(j.Viewing, colour.D65).Screen(p.Lab)
		cv.Shape(canvas.Ring(at, jarMM/2), hairline)
		cv.Shape(canvas.Ring(at, jarMM/2-0.5), paperWhite)
		cv.Shape(canvas.Ring(at, jarMM/2-0.9), rgb)
		_, text := cell.CutLeft(jarMM + 1.5)
		lines, room := j.text(i, b.W)
		_, text = text.CutTop((text.H - lines[:1].height(room, columnStyle) - lines[1:].height(room, noteStyle)) / 2)
		text = lines[:1].draw(cv, text, columnStyle)
		lines[1:].draw(cv, text, noteStyle.In(ink))
	}
}
