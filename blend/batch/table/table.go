// Package table reads the project's small data files: `# key: value` lines,
// then one CSV header, then rows. A maker edits these in a spreadsheet, so a
// byte order mark, CRLF ends and the commas a spreadsheet leaves after a key
// line are all accepted, and every fault names file, line and column.
package table

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// MaxBytes is the largest file read: far above any real base or price list,
// low enough that a wrong file is refused at once.
const MaxBytes = 1 << 20

// File is one data file as read: its keys in order, its header and its rows.
type File struct {
	Name   string
	Keys   []Key
	Header []string
	Rows   []Row
}

// Key is one `# key: value` line.
type Key struct {
	Name, Value string
	Line        int
}

// Row is one data row; Fields are trimmed and as many as the header has.
type Row struct {
	Line   int
	Fields []string
}

// Error is a fault in a data file. Column is the field's number from 1, and 0
// where the whole line is at fault.
type Error struct {
	File    string
	Line    int
	Column  int
	Field   string
	Problem string
	Accept  string // what would be accepted
}

func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, " line %d", e.Line)
	}
	if e.Column > 0 {
		fmt.Fprintf(&b, " column %d", e.Column)
	}
	if e.Field != "" {
		fmt.Fprintf(&b, " (%s)", e.Field)
	}
	b.WriteString(": " + e.Problem)
	if e.Accept != "" {
		b.WriteString("; accepted: " + e.Accept)
	}
	return b.String()
}

// Read reads a file whose header must be exactly the given one.
func Read(r io.Reader, name string, header []string) (*File, error) {
	raw, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(raw) > MaxBytes {
		return nil, &Error{File: name, Problem: "the file is over 1 MB", Accept: "a small CSV file"}
	}
	raw = bytes.TrimPrefix(raw, []byte("\xef\xbb\xbf"))
	if !utf8.Valid(raw) {
		return nil, &Error{File: name, Line: firstBadLine(raw), Problem: "not UTF-8 text", Accept: "a CSV file saved as UTF-8"}
	}
	f := &File{Name: name, Header: header}
	rest, line, err := f.readKeys(raw)
	if err != nil {
		return nil, err
	}
	if err := f.readRows(rest, line); err != nil {
		return nil, err
	}
	return f, nil
}

// readKeys takes the leading `#` and blank lines and returns what follows and
// how many lines were taken.
func (f *File) readKeys(raw []byte) ([]byte, int, error) {
	line := 0
	seen := map[string]int{}
	for len(raw) > 0 {
		text, rest, _ := bytes.Cut(raw, []byte("\n"))
		s := unquoted(strings.TrimSpace(string(text)))
		if s != "" && !strings.HasPrefix(s, "#") {
			return raw, line, nil
		}
		raw = rest
		line++
		if s == "" {
			continue
		}
		k, v, ok := strings.Cut(strings.TrimLeft(s, "# "), ":")
		k = strings.ToLower(strings.TrimSpace(k))
		if !ok || k == "" {
			return nil, 0, &Error{File: f.Name, Line: line, Problem: fmt.Sprintf("%q is not a key line", clip(s)), Accept: "# key: value"}
		}
		if at, dup := seen[k]; dup {
			return nil, 0, &Error{File: f.Name, Line: line, Field: k, Problem: fmt.Sprintf("the key was given already on line %d", at), Accept: "each key once"}
		}
		seen[k] = line
		f.Keys = append(f.Keys, Key{k, strings.TrimSpace(v), line})
	}
	return raw, line, nil
}

// unquoted undoes what spreadsheets do to a key line: the commas of empty
// cells after it, and quotes round it when the value holds a comma.
func unquoted(s string) string {
	s = strings.TrimRight(s, ", \t\r")
	if strings.HasPrefix(s, `"#`) && strings.HasSuffix(s, `"`) && len(s) > 2 {
		s = strings.ReplaceAll(s[1:len(s)-1], `""`, `"`)
	}
	return s
}

func (f *File) readRows(rest []byte, before int) error {
	cr := csv.NewReader(bufio.NewReader(bytes.NewReader(rest)))
	cr.FieldsPerRecord = -1
	cr.TrimLeadingSpace = true
	header := false
	for {
		rec, err := cr.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			var pe *csv.ParseError
			if errors.As(err, &pe) {
				return &Error{File: f.Name, Line: before + pe.Line, Problem: pe.Err.Error(), Accept: "comma-separated fields, quoted where they hold a comma"}
			}
			return fmt.Errorf("%s: %w", f.Name, err)
		}
		line, _ := cr.FieldPos(0)
		line += before
		for i := range rec {
			rec[i] = strings.TrimSpace(rec[i])
		}
		if !header {
			if err := f.checkHeader(rec, line); err != nil {
				return err
			}
			header = true
			continue
		}
		if blank(rec) {
			continue
		}
		if strings.HasPrefix(rec[0], "#") {
			return &Error{File: f.Name, Line: line, Column: 1, Problem: "a # line among the rows", Accept: "key lines before the header only"}
		}
		if len(rec) != len(f.Header) {
			return &Error{File: f.Name, Line: line, Column: min(len(rec), len(f.Header)) + 1, Problem: fmt.Sprintf("%d fields where the header has %d", len(rec), len(f.Header)), Accept: strings.Join(f.Header, ",")}
		}
		f.Rows = append(f.Rows, Row{line, rec})
	}
	if !header {
		return &Error{File: f.Name, Line: before + 1, Problem: "no header row", Accept: strings.Join(f.Header, ",")}
	}
	if len(f.Rows) == 0 {
		return &Error{File: f.Name, Line: before + 2, Problem: "no rows after the header", Accept: "at least one row"}
	}
	return nil
}

func (f *File) checkHeader(rec []string, line int) error {
	want := strings.Join(f.Header, ",")
	if len(rec) == 1 && strings.Contains(rec[0], ";") {
		return &Error{File: f.Name, Line: line, Column: 1, Problem: "the fields are separated by semicolons", Accept: "commas: " + want}
	}
	for i, h := range f.Header {
		got := ""
		if i < len(rec) {
			got = rec[i]
		}
		if !strings.EqualFold(got, h) {
			return &Error{File: f.Name, Line: line, Column: i + 1, Field: h, Problem: fmt.Sprintf("the header has %q here", clip(got)), Accept: want}
		}
	}
	for i := len(f.Header); i < len(rec); i++ {
		if rec[i] != "" {
			return &Error{File: f.Name, Line: line, Column: i + 1, Problem: fmt.Sprintf("unknown column %q", clip(rec[i])), Accept: want}
		}
	}
	if len(rec) > len(f.Header) {
		return &Error{File: f.Name, Line: line, Column: len(f.Header) + 1, Problem: "empty columns after the last", Accept: want}
	}
	return nil
}

// Fault makes an Error at field i of a row.
func (f *File) Fault(r Row, i int, problem, accept string) *Error {
	return &Error{File: f.Name, Line: r.Line, Column: i + 1, Field: f.Header[i], Problem: problem, Accept: accept}
}

// KeyFault makes an Error at a key line.
func (f *File) KeyFault(k Key, problem, accept string) *Error {
	return &Error{File: f.Name, Line: k.Line, Field: k.Name, Problem: problem, Accept: accept}
}

func blank(rec []string) bool {
	for _, s := range rec {
		if s != "" {
			return false
		}
	}
	return true
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

func firstBadLine(raw []byte) int {
	line := 1
	for len(raw) > 0 {
		r, n := utf8.DecodeRune(raw)
		if r == utf8.RuneError && n == 1 {
			return line
		}
		if r == '\n' {
			line++
		}
		raw = raw[n:]
	}
	return line
}
