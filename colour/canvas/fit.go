package canvas

import "strings"

// Align is where a line sits between the sides of its box.
type Align uint8

// The three alignments.
const (
	Left Align = iota
	Centre
	Right
)

// ellipsis marks text that was cut to fit.
const ellipsis = "…"

// Line sets one line in the box, centred by its capitals' height. A line too
// long is cut with an ellipsis; it never leaves the box's sides, and is never
// made smaller.
func Line(c Canvas, b Box, s string, st Style, a Align) {
	s = Clean(s)
	if s == "" || b.W <= 0 {
		return
	}
	s = cut(s, st, b.W)
	w := Width(s, st)
	x := b.X
	switch a {
	case Centre:
		x += (b.W - w) / 2
	case Right:
		x += b.W - w
	}
	c.Text(Point{x, b.Y + (b.H+st.CapHeight())/2}, s, st)
}

// cut ends as much of s as is at most width mm wide with an ellipsis, where not all
// is.
func cut(s string, st Style, width float64) string {
	const e = 1e-9
	if Width(s, st) <= width+e {
		return s
	}
	room := width - Width(ellipsis, st)
	if room < 0 {
		return ""
	}
	t := faces[st.Weight]
	for i, r := range s {
		if room -= t.advance(r) * st.Size; room < 0 {
			s = s[:i]
			break
		}
	}
	return strings.TrimRight(s, " ,;·-") + ellipsis
}

// Wrap breaks s into lines at most width mm wide, between words where it can
// and inside one that is wider than a line.
func Wrap(s string, st Style, width float64) []string {
	var lines []string
	line := ""
	for word := range strings.SplitSeq(Clean(s), " ") {
		joined := word
		if line != "" {
			joined = line + " " + word
		}
		if Width(joined, st) <= width {
			line = joined
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		line = word
		for Width(line, st) > width {
			n := leading(line, st, width)
			if n == len(line) {
				break
			}
			lines = append(lines, line[:n])
			line = line[n:]
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// leading returns how many bytes of s, at least one letter's, are at most width
// wide.
func leading(s string, st Style, width float64) int {
	t, w := faces[st.Weight], 0.0
	for i, r := range s {
		if w += t.advance(r) * st.Size; w > width && i > 0 {
			return i
		}
	}
	return len(s)
}
