package swatches

import (
	"strings"

	"tawny/swatches/canvas"
)

// facts returns what else a maker reads, one line each.
func (c *Card) facts() []string {
	f := []string{"Light: " + c.lightWords()}
	if c.Undertone != "" {
		f = append(f, "Undertone: "+c.Undertone)
	}
	if c.Sparkle.Word != "" {
		f = append(f, "Shimmer: "+c.Sparkle.Word+", about "+count(c.Sparkle.PerCM2)+" glints per cm²")
	}
	if c.Skin.Film != nil {
		f = append(f, "Top: colour in even light. Arm: under one lamp, to the scale shown; brighter than white is toned down.")
	}
	return append(f, c.Remarks...)
}

func (c *Card) factsHeight(width float64) float64 {
	rows := 0
	for _, f := range c.facts() {
		rows += len(canvas.Wrap(f, noteStyle, width))
	}
	return 1.5 + float64(min(rows, maxFactRows))*noteStyle.LineHeight()
}

const maxFactRows = 9

// drawFacts writes the light, undertone, sparkle and remarks.
func (c *Card) drawFacts(cv canvas.Canvas, b canvas.Box) {
	rule(cv, b)
	_, b = b.CutTop(1.5)
	rows := 0
	for _, f := range c.facts() {
		rows += len(canvas.Wrap(f, noteStyle, b.W))
	}
	if rows > maxFactRows {
		canvas.Paragraph(cv, b, strings.Join(c.facts(), " · "), noteStyle, canvas.Left)
		return
	}
	for _, f := range c.facts() {
		used := canvas.Paragraph(cv, b, f, noteStyle, canvas.Left)
		_, b = b.CutTop(used)
	}
}
