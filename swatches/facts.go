package swatches

// facts returns what else a maker reads, one line each.
func (c *Card) facts() paragraphs {
	f := paragraphs{"Light: " + c.lightWords()}
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
// diffuser's is kept in data and rolled off only here: see [shimmer.Picture.RGBA].
const armWords = "Top: colour in even light. Arm: to the scale shown; brighter than white is toned down."

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

// short is the same where there is less room, in a line or none.
func (s Sparkle) short(glints string) []string {
	switch {
	case s.None:
		return []string{"no flakes"}
	case s.Word != "":
		return []string{s.Word + ", " + count(s.PerCM2) + " " + glints}
	}
	return nil
}
