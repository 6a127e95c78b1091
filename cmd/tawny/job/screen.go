package job

import (
	"fmt"
	"io"
	"os"
	"regexp"
	"strconv"
	"strings"

	"tawny/colour"
	"tawny/colour/table"
)

// Screen writes plain text, with patches of colour where the terminal shows
// true colour. It keeps the first error.
type Screen struct {
	w       io.Writer
	colours bool
	err     error
}

// NewScreen writes to w.
func NewScreen(w io.Writer) *Screen {
	depth := os.Getenv("COLORTERM")
	_, off := os.LookupEnv("NO_COLOR")
	return &Screen{w: w, colours: !off && IsTerminal(w) && (depth == "truecolor" || depth == "24bit")}
}

// IsTerminal tells whether what is written goes to a terminal.
func IsTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// Err is the first error of writing.
func (s *Screen) Err() error { return s.err }

func (s *Screen) line(format string, args ...any) {
	if s.err != nil {
		return
	}
	// What another program or an older book wrote may steer a terminal, or look like a
	// row of its own: of that only our own patches are let through.
	text := strings.ReplaceAll(fmt.Sprintf(format, args...), "\n", `\n`)
	parts, patches := patched.Split(text, -1), append(patched.FindAllString(text, -1), "")
	for i, part := range parts {
		parts[i] = table.Visible(part) + patches[i]
	}
	_, s.err = fmt.Fprintln(s.w, strings.Join(parts, ""))
}

// patched finds what patch writes.
var patched = regexp.MustCompile(`\x1b\[48;2;\d+;\d+;\d+m   \x1b\[0m `)

// patch is three cells of a colour with a space after, or nothing where the
// terminal cannot show it.
func (s *Screen) patch(hex string) string {
	n, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 32)
	if !s.colours || err != nil {
		return ""
	}
	return fmt.Sprintf("\x1b[48;2;%d;%d;%dm   \x1b[0m ", n>>16&255, n>>8&255, n&255)
}

// paragraph is a line set apart from what stands above it.
func (s *Screen) paragraph(format string, args ...any) {
	s.line("")
	s.line(format, args...)
}

// fold writes texts under a hanging indent, each wrapped at 78 columns.
func (s *Screen) fold(indent string, texts ...string) {
	for _, text := range texts {
		for _, line := range wrap(strings.Fields(text), 78-len(indent), indent) {
			s.line("%s", line)
		}
	}
}

// paragraphs sets each text apart.
func (s *Screen) paragraphs(list []string) {
	for _, text := range list {
		s.line("")
		s.fold("", text)
	}
}

// hueText writes a hue, or a dash where there is too little chroma for one.
func hueText(c colour.LCh) string {
	if c.C < 1 {
		return "–"
	}
	return fmt.Sprintf("%.0f°", c.H)
}

// labText writes what rounds to nothing as 0.0.
func labText(c colour.Lab) string {
	return strings.ReplaceAll(fmt.Sprintf("L* %.1f  a* %.1f  b* %.1f", c.L, c.A, c.B), "-0.0", "0.0")
}

// brightText is labText of a lit flake, which may pass white.
func brightText(c colour.Lab) string {
	return labText(c) + when(c.L > 100, " (brighter than white paper)")
}

// Wrote names the files written, and those that had been there.
func (s *Screen) Wrote(paths, over []string) {
	defer func() {
		if len(over) > 0 {
			s.fold("", "Written over: "+strings.Join(over, ", ")+".")
		}
	}()
	switch n := len(paths); n {
	case 0:
	case 1:
		s.line("Wrote %s", paths[0])
	default:
		s.fold("", "Wrote "+strings.Join(paths[:n-1], ", ")+" and "+paths[n-1])
	}
}
