package swatches

import (
	"tawny/colour/canvas"
)

// facts returns what else a maker reads, one line each.
func (c *Card) facts() []string {
	f := []string{"Light: " + c.lightWords()}
	if c.Undertone != "" {
		f = append(f, "Undertone: "+c.Undertone)
	}
	if s := c.Sparkle.Words(); s != "" {
		f = append(f, "Shimmer: "+s)
	}
	if c.Skin.Film != nil {
		f = append(f, armWords)
	}
	return append(f, c.Remarks...)
}

// armWords tell what the picture under the colours is. Light above a perfect
// diffuser's is kept in data and rolled off only here: see [shimmer.Tone].
const armWords = "Top: colour in even light. Arm: under one lamp, to the scale shown; brighter than white is toned down."

// Words says how much single flakes show, or "" where it is not to be said.
func (s Sparkle) Words() string {
	switch {
	case s.None:
		return "none (no flakes)"
	case s.Word != "":
		return s.Word + ", about " + count(s.PerCM2) + " glints per cm²"
	}
	return ""
}

func (c *Card) factsHeightAt(width float64, st canvas.Style) float64 {
	rows := 0
	for _, f := range c.facts() {
		rows += len(canvas.Wrap(f, st, width))
	}
	return 1.5 + float64(rows)*st.LineHeight() + 0.01
}

// drawFactsAt writes the light, undertone, sparkle and remarks.
func (c *Card) drawFactsAt(cv canvas.Canvas, b canvas.Box, st canvas.Style) {
	rule(cv, b)
	_, b = b.CutTop(1.5)
	for _, f := range c.facts() {
		used := canvas.Paragraph(cv, b, f, st, canvas.Left)
		_, b = b.CutTop(used)
	}
}
