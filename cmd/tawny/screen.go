package main

import (
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"
	"time"

	"tawny/colour"
)

// screen writes plain text, with patches of colour where the terminal shows
// true colour. It keeps the first error.
type screen struct {
	w       io.Writer
	colours bool
	err     error
}

func newScreen(w io.Writer) *screen {
	depth := os.Getenv("COLORTERM")
	_, off := os.LookupEnv("NO_COLOR")
	return &screen{w: w, colours: !off && isTerminal(w) && (depth == "truecolor" || depth == "24bit")}
}

func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

func (s *screen) line(format string, args ...any) {
	if s.err == nil {
		_, s.err = fmt.Fprintf(s.w, format+"\n", args...)
	}
}

// patch is three cells of a colour with a space after, or nothing where the
// terminal cannot show it.
func (s *screen) patch(hex string) string {
	n, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	if !s.colours || err != nil {
		return ""
	}
	return fmt.Sprintf("\x1b[48;2;%d;%d;%dm   \x1b[0m ", n>>16&255, n>>8&255, n&255)
}

// fold writes text under a hanging indent, wrapped at 78 columns.
func (s *screen) fold(indent, text string) {
	width := 78 - len(indent)
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && len([]rune(line))+1+len([]rune(word)) > width {
			s.line("%s%s", indent, line)
			line = ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	if line != "" {
		s.line("%s%s", indent, line)
	}
}

// noMinusZero writes what rounds to nothing as 0.0.
func noMinusZero(s string) string { return strings.ReplaceAll(s, "-0.0", "0.0") }

// hueText writes a hue, or a dash where there is too little chroma for one.
func hueText(c colour.LCh) string {
	if c.C < 1 {
		return "–"
	}
	return fmt.Sprintf("%.0f°", c.H)
}

func labText(c colour.Lab) string {
	return noMinusZero(fmt.Sprintf("L* %.1f  a* %.1f  b* %.1f", c.L, c.A, c.B))
}

// progress shows how far a long job is, on a terminal and after a second.
func progress() (func(float64), func()) {
	if !isTerminal(os.Stderr) {
		return nil, func() {}
	}
	start, last, shown := time.Now(), time.Time{}, false
	share := make(chan float64, 1)
	done := make(chan struct{})
	finished := make(chan struct{})
	go func() {
		defer close(finished)
		for {
			select {
			case x := <-share:
				if now := time.Now(); now.Sub(start) > time.Second && now.Sub(last) > 200*time.Millisecond {
					fmt.Fprintf(os.Stderr, "\r%3.0f %% searched", 100*x)
					last, shown = now, true
				}
			case <-done:
				if shown {
					fmt.Fprint(os.Stderr, "\r                \r")
				}
				return
			}
		}
	}()
	report := func(x float64) {
		select {
		case share <- x:
		default:
		}
	}
	return report, func() { close(done); <-finished }
}
