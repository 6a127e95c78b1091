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

// deepWords tell how a jar is unlike its disc.
const deepWords = "The colour in depth. Over it an eye sees the gleam of the uppermost flakes, as at the left end of the strip above."

func (j Jars) draw(cv canvas.Canvas, b canvas.Box) canvas.Box {
	// What is said of a jar stands beside its middle.
	text := func(cv canvas.Canvas, b canvas.Box, p Patch) canvas.Box {
		return paragraphs{labText(p.Lab)}.draw(cv, paragraphs{p.Name}.draw(cv, b, columnStyle), noteStyle.In(ink))
	}
	_, beside := b.Column(0, len(j.Patches), columnGap).CutLeft(jarMM + 1.5)
	most := jarMM
	var highs []float64
	for _, p := range j.Patches {
		highs = append(highs, text(nowhere{}, canvas.Box{W: beside.W}, p).Y)
		most = max(most, highs[len(highs)-1]+hair)
	}
	for i, p := range j.Patches {
		disc, beside := b.Column(i, len(j.Patches), columnGap).CutLeft(jarMM + 1.5)
		at := canvas.Point{X: disc.X + jarMM/2, Y: disc.Y + most/2}
		rgb, _ := cmp.Or(j.Viewing, colour.D65).Screen(p.Lab)
		cv.Shape(canvas.Ring(at, jarMM/2), hairline)
		cv.Shape(canvas.Ring(at, jarMM/2-0.5), paperWhite)
		cv.Shape(canvas.Ring(at, jarMM/2-0.9), rgb)
		text(cv, below(beside, at.Y-highs[i]/2), p)
	}
	return paragraphs{deepWords}.draw(cv, below(b, b.Y+most+0.5), noteStyle)
}
