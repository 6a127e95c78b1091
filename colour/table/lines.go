package table

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	utf "golang.org/x/text/encoding/unicode"
	"golang.org/x/text/unicode/norm"
)

const (
	// MaxBytes is the largest file read unless a kind says otherwise: a drawer
	// of 500 powders is about 100 kB.
	MaxBytes = 4 << 20
	// MaxRow is the longest row or line read unless a kind says otherwise: 2500
	// columns of a spectrum are under 60 kB.
	MaxRow = 1 << 20
)

const savedAsText = "a CSV file saved as UTF-8 text"

// lines gives a text file line by line in UTF-8, without line ends.
type lines struct {
	name  string
	r     *bufio.Reader
	limit *io.LimitedReader
	most  int64
	row   int  // the most bytes of a row
	raw   bool // leave characters as they are
	n     int  // lines given
	taken int  // bytes of the row that is being read
	// rest is of a line that Read has begun.
	rest          string
	utf8, letters bool // a line was in UTF-8 beyond ASCII; in single bytes
}

// openLines looks at a file's first bytes; at most so many of it are read, and
// so many in a row.
func openLines(name string, r io.Reader, most int64, row int) (*lines, error) {
	l := &lines{name: name, most: most, row: row, limit: &io.LimitedReader{R: r, N: most + 1}}
	l.r = bufio.NewReader(l.limit)
	head, err := l.r.Peek(4)
	if err != nil && err != io.EOF {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	switch {
	case bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return nil, &Error{File: name, Line: 1, Problem: "a spreadsheet workbook or an archive", Accept: savedAsText}
	case bytes.HasPrefix(head, []byte("\xff\xfe")), bytes.HasPrefix(head, []byte("\xfe\xff")):
		l.r = bufio.NewReader(utf.UTF16(utf.LittleEndian, utf.UseBOM).NewDecoder().Reader(l.r))
	case bytes.HasPrefix(head, []byte("\xef\xbb\xbf")):
		l.r.Discard(3)
	}
	return l, nil
}

// next returns a line that begins a row, or io.EOF.
func (l *lines) next() (string, error) {
	l.taken = 0
	return l.more()
}

// more returns the next line of the row, or io.EOF.
func (l *lines) more() (string, error) {
	var line []byte
	for {
		c, err := l.r.ReadByte()
		if l.limit.N <= 0 {
			return "", &Error{File: l.name, Problem: "the file is over " + sizeWords(l.most), Accept: "a file of at most that"}
		}
		if err == io.EOF && len(line) > 0 {
			break
		}
		if err == io.EOF {
			return "", err
		}
		if err != nil {
			return "", fmt.Errorf("%s: %w", l.name, err)
		}
		if l.taken++; l.taken > l.row {
			return "", &Error{File: l.name, Line: l.n + 1, Problem: "the row is over " + sizeWords(int64(l.row)), Accept: savedAsText}
		}
		if c == '\n' || c == '\r' {
			if next, _ := l.r.Peek(1); c == '\r' && len(next) > 0 && next[0] == '\n' {
				l.r.ReadByte()
			}
			break
		}
		line = append(line, c)
	}
	l.n++
	s, err := l.decode(line)
	if err == nil && !l.raw {
		s, err = Clean(s)
	}
	if err != nil {
		return "", &Error{File: l.name, Line: l.n, Problem: err.Error(), Accept: savedAsText}
	}
	return s, nil
}

func sizeWords(n int64) string {
	if n >= 1<<20 {
		return fmt.Sprintf("%d MB", n>>20)
	}
	return fmt.Sprintf("%d kB", n>>10)
}

// decode reads a line as UTF-8, or where it is not as Windows-1252. What may
// stand for one letter or for another is refused: a wrong guess spoils a name
// unseen.
func (l *lines) decode(line []byte) (string, error) {
	switch {
	case bytes.IndexByte(line, 0) >= 0:
		return "", errors.New("not text")
	case !utf8.Valid(line):
		l.letters = true
	case bytes.IndexFunc(line, func(r rune) bool { return r >= utf8.RuneSelf }) >= 0:
		l.utf8 = true
	default:
		return string(line), nil
	}
	if l.letters && l.utf8 {
		return "", errors.New("some lines are in UTF-8 and some in an older encoding")
	}
	if l.utf8 {
		return string(line), nil
	}
	var b strings.Builder
	for _, c := range line {
		// From 0xa0 on Windows-1252 and Latin-1 agree, and so does Unicode;
		// below, an é of an old Macintosh would come out as a Ž.
		if c >= 0x80 && c < 0xa0 {
			return "", fmt.Errorf("a letter (byte %#x) in an encoding that cannot be told", c)
		}
		b.WriteRune(rune(c))
	}
	return b.String(), nil
}

// steering are controls, line and paragraph ends, and the marks that turn the
// direction of writing, by which one name can pass for another.
var steering = []*unicode.RangeTable{unicode.Cc, unicode.Zl, unicode.Zp, unicode.Bidi_Control}

// Visible is text for a terminal, with what would steer that, or turn the direction of
// writing, shown by its number, as JSON escapes it: of a JSON document it is the same
// document.
func Visible(text string) string {
	if unprintable(text) < 0 {
		return text
	}
	var b strings.Builder
	for _, r := range text {
		if r == '\n' || r == '\t' || !unicode.In(r, steering...) {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, "\\u%04x", r)
		}
	}
	return b.String()
}

// unprintable finds the first character that is no text, or -1.
func unprintable(text string) rune {
	for _, r := range text {
		switch {
		case r >= ' ' && r < 0x7f, r == '\t', r == '\n':
		case r == utf8.RuneError || unicode.In(r, steering...):
			return r
		}
	}
	return -1
}

// Clean is the gate of any other text, such as a flag's or a form's: it brings
// it to the composed form and refuses what cannot be printed.
func Clean(text string) (string, error) {
	if r := unprintable(text); r >= 0 {
		return "", fmt.Errorf("it has the character %U in it, which cannot be printed", r)
	}
	return norm.NFC.String(text), nil
}

// Read gives what is left as bytes.
func (l *lines) Read(p []byte) (int, error) {
	if l.rest == "" {
		line, err := l.more()
		if err != nil {
			return 0, err
		}
		l.rest = line + "\n"
	}
	n := copy(p, l.rest)
	l.rest = l.rest[n:]
	return n, nil
}

// Text reads a whole text file of at most so many bytes: decoded, composed, its
// line ends "\n", without control characters.
func Text(name string, r io.Reader, most int64) (string, error) {
	l, err := openLines(name, r, most, MaxRow)
	if err != nil {
		return "", err
	}
	var text strings.Builder
	for {
		line, err := l.next()
		if err == io.EOF {
			return text.String(), nil
		}
		if err != nil {
			return "", err
		}
		text.WriteString(line)
		text.WriteByte('\n')
	}
}
