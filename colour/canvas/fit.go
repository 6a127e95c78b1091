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

// smallest is how far fitting may shrink text before it wraps or cuts it.
const smallest = 0.78

// ellipsis marks text that was cut to fit.
const ellipsis = "…"

// Line sets one line in the box, centred by its capitals' height. A line too
// long is first made smaller, then cut with an ellipsis; it never leaves the
// box's sides.
func Line(c Canvas, b Box, s string, st Style, a Align) {
	s = Clean(s)
	if s == "" || b.W <= 0 {
		return
	}
	if w := Width(s, st); w > b.W {
		st.Size *= max(smallest, b.W/w)
		s = cut(s, st, b.W)
	}
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

// Fit sets text of any length in the box: on one line if it can be, smaller on
// one line if that is enough, else on as many lines as the height holds at a
// size down to 60 %, and only then cut with an ellipsis.
func Fit(c Canvas, b Box, s string, st Style, a Align) {
	s = Clean(s)
	if w := Width(s, st); w*smallest <= b.W {
		Line(c, b, s, st, a)
		return
	}
	lines, st := shrink(s, st, b, 0.6, 0.97)
	h := float64(len(lines)) * st.LineHeight()
	stack(c, Box{b.X, b.Y + (b.H-h)/2, b.W, h}, lines, st, a)
}

// shrink wraps text at the size, down to least of it by steps, at which it is no taller
// than the box, and cuts what still is.
func shrink(s string, st Style, b Box, least, step float64) ([]string, Style) {
	full := st.Size
	lines := Wrap(s, st, b.W)
	for float64(len(lines))*st.LineHeight() > b.H && st.Size > full*least {
		st.Size *= step
		lines = Wrap(s, st, b.W)
	}
	return cutLines(lines, max(1, int(b.H/st.LineHeight()+1e-9)), st, b.W), st
}

// stack sets lines one under the other from the top of the box.
func stack(c Canvas, b Box, lines []string, st Style, a Align) {
	for i, l := range lines {
		Line(c, Box{b.X, b.Y + float64(i)*st.LineHeight(), b.W, st.LineHeight()}, l, st, a)
	}
}

// cutLines keeps the first n lines and ends them with an ellipsis if any were
// dropped.
func cutLines(lines []string, n int, st Style, width float64) []string {
	if len(lines) <= n {
		return lines
	}
	last := shorten(strings.Join(lines[n-1:], " "), st, width)
	return append(lines[:n-1:n-1], last)
}

// cut shortens s with an ellipsis until it is at most width mm wide.
func cut(s string, st Style, width float64) string {
	const e = 1e-9
	if Width(s, st) <= width+e {
		return s
	}
	return shorten(s, st, width)
}

// shorten ends as much of s as fits with an ellipsis.
func shorten(s string, st Style, width float64) string {
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

// Paragraph sets text from the top of the box, wrapped. Text that is too tall
// is made smaller, and what still does not fit is cut with an ellipsis. It
// returns the height used, mm.
func Paragraph(c Canvas, b Box, s string, st Style, a Align) float64 {
	if Clean(s) == "" || b.W <= 0 || b.H <= 0 {
		return 0
	}
	lines, st := shrink(s, st, b, smallest, 0.96)
	stack(c, b, lines, st, a)
	return float64(len(lines)) * st.LineHeight()
}
