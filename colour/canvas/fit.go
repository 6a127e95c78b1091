package canvas

import (
	"sort"
	"strings"
	"unicode/utf8"
)

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
	x := b.X
	switch w := Width(s, st); a {
	case Centre:
		x += (b.W - w) / 2
	case Right:
		x += b.W - w
	}
	Set(c, Point{x, b.Y + (b.H+st.CapHeight())/2}, s, st)
}

// Set sets one line in whatever fonts have its letters, with its baseline's left end
// at the point.
func Set(c Canvas, at Point, s string, st Style) {
	for _, r := range runs(s, st.Weight) {
		r.set(c, at, st)
		at.X += r.width(faces[st.Weight]) * st.Size
	}
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
	return strings.TrimRight(s[:leading(s, st, room)], " ,;·-") + ellipsis
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
			_, first := utf8.DecodeRuneInString(line)
			n := max(first, leading(line, st, width))
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

// leading returns how many bytes of s are at most width wide.
func leading(s string, st Style, width float64) int {
	var ends []int
	for i := range s {
		ends = append(ends, i)
	}
	ends = append(ends, len(s))
	n := sort.Search(len(ends), func(i int) bool { return Width(s[:ends[i]], st) > width })
	return ends[max(0, n-1)]
}
