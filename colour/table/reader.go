package table

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
)

// Reader gives a file's rows one after the other, for what is too long to hold.
type Reader struct {
	File // but for its rows

	kind   Kind
	lines  *lines
	csv    *csv.Reader
	before int   // lines that csv does not count
	at     []int // the place of each of the header's cells, as written, in Header
}

// NewReader reads up to and with the header; name is used in errors, which are
// [*Error].
func NewReader(name string, r io.Reader, k Kind) (*Reader, error) {
	if k.MaxBytes == 0 {
		k.MaxBytes = MaxBytes
	}
	if k.MaxRow == 0 {
		k.MaxRow = MaxRow
	}
	l, err := openLines(name, r, k.MaxBytes, k.MaxRow)
	if err != nil {
		return nil, err
	}
	l.raw = k.Raw
	t := &Reader{File: File{Name: name}, kind: k, lines: l}
	for {
		line, err := l.next()
		if err == io.EOF {
			return nil, &Error{File: name, Line: l.n + 1, Problem: "the file has no header", Accept: k.wants()}
		}
		if err != nil {
			return nil, err
		}
		said := keyLine(line)
		if said == "" || strings.HasPrefix(said, "#") {
			if err := t.key(said, l.n); err != nil {
				return nil, err
			}
			continue
		}
		if strings.HasPrefix(said, "<") {
			return nil, &Error{File: name, Line: l.n, Problem: "XML or a web page", Accept: savedAsText}
		}
		t.before, l.rest, t.Separator = l.n-1, line+"\n", separator(line)
		break
	}
	t.csv = csv.NewReader(l)
	t.csv.Comma, t.csv.FieldsPerRecord, t.csv.TrimLeadingSpace = t.Separator, -1, t.Separator != '\t' && !k.Raw
	cells, line, err := t.record()
	if err != nil {
		return nil, err
	}
	return t, t.header(cells, line)
}

// keyLine undoes what spreadsheets do to a key line: the separators of empty
// cells after it, and quotes round it where it holds one of them. A row of
// nothing but separators is blank.
func keyLine(line string) string {
	s := strings.TrimSpace(strings.TrimRight(strings.TrimSpace(line), ",;\t "))
	if strings.HasPrefix(s, `"#`) && strings.HasSuffix(s, `"`) && len(s) > 2 {
		s = strings.ReplaceAll(s[1:len(s)-1], `""`, `"`)
	}
	return s
}

// key takes a key line; a comment without a colon is passed over.
func (t *Reader) key(said string, line int) error {
	name, value, ok := strings.Cut(strings.TrimLeft(said, "# \t"), ":")
	if name = strings.ToLower(strings.TrimSpace(name)); !ok || name == "" {
		return nil
	}
	value, err := Clean(strings.TrimSpace(value))
	if err != nil {
		return &Error{File: t.Name, Line: line, Field: Clip(name), Problem: err.Error(), Accept: savedAsText}
	}
	key := Key{name, value, line}
	i := slices.IndexFunc(t.Keys, func(k Key) bool { return k.Name == name })
	switch {
	case i < 0:
		t.Keys = append(t.Keys, key)
	case t.kind.Late: // an instrument's file: the last holds
		t.Keys[i] = key
	default:
		return &Error{File: t.Name, Line: line, Field: Clip(name), Problem: fmt.Sprintf("the key was given already on line %d", t.Keys[i].Line), Accept: "each key once"}
	}
	return nil
}

// separator is what stands between the header's cells: a tab if it has one
// outside quotes, else a semicolon, else a comma.
func separator(header string) rune {
	found, quoted := ',', false
	for _, r := range header {
		switch {
		case r == '"':
			quoted = !quoted
		case quoted:
		case r == '\t':
			return r
		case r == ';':
			found = r
		}
	}
	return found
}

// decimalComma is a number with one.
var decimalComma = regexp.MustCompile(`^[-+]?\d*,\d+(?:[eE][-+]?\d+)?$`)

// Point gives a cell with a decimal point where it is a number with a decimal
// comma, in a file whose cells are not parted by commas.
func Point(cell string) string {
	if decimalComma.MatchString(cell) {
		return strings.Replace(cell, ",", ".", 1)
	}
	return cell
}

// record returns the cells of the next record that is not blank and its line,
// or io.EOF.
func (t *Reader) record() (cells []string, line int, err error) {
	for {
		t.lines.taken = 0
		cells, err = t.csv.Read()
		if pe, ok := errors.AsType[*csv.ParseError](err); ok {
			return nil, 0, &Error{File: t.Name, Line: t.before + pe.StartLine, Problem: "the quotes do not close", Accept: `text in quotes, with "" for a quote inside`}
		}
		if err != nil {
			return nil, 0, err
		}
		line, _ = t.csv.FieldPos(0)
		filled := 0
		for i, c := range cells {
			c = strings.TrimSpace(c)
			if c != "" {
				filled = i + 1
			}
			switch {
			case t.kind.Raw:
			case t.Separator == ',':
				cells[i] = c
			default:
				cells[i] = Point(c)
			}
		}
		if filled > 0 {
			// Empty cells past the last column are none of it.
			return cells[:max(filled, min(len(cells), len(t.at)))], t.before + line, nil
		}
	}
}

// header finds the kind's columns by their names.
func (t *Reader) header(cells []string, line int) error {
	k := t.kind
	t.HeaderLine, t.written = line, cells
	t.at = make([]int, len(cells))
	if k.Header == nil {
		for i := range cells {
			t.at[i] = i
		}
		t.Header = cells
		return nil
	}
	t.Header = k.Header
	fault := func(i int, problem string) error {
		return &Error{File: t.Name, Line: line, Column: i + 1, Field: "header", Problem: problem, Accept: k.wants()}
	}
	found := make([]bool, len(k.Header))
	for i, c := range cells {
		at := slices.IndexFunc(k.Header, func(h string) bool { return strings.EqualFold(h, c) })
		switch {
		case at < 0:
			return fault(i, fmt.Sprintf("there is no column %q", Clip(c)))
		case found[at]:
			return fault(i, fmt.Sprintf("the column %q stands there twice", c))
		}
		found[at], t.at[i] = true, at
	}
	for i, h := range k.Header {
		if !found[i] && !slices.Contains(k.Optional, h) {
			return fault(len(cells), fmt.Sprintf("the column %q is missing", h))
		}
	}
	return nil
}

// Next returns the next row, or io.EOF.
func (t *Reader) Next() (Row, error) {
	for {
		cells, line, err := t.record()
		if err != nil {
			return Row{}, err
		}
		fault := func(column int, problem, accept string) (Row, error) {
			return Row{}, &Error{File: t.Name, Line: line, Column: column, Problem: problem, Accept: accept}
		}
		if strings.HasPrefix(cells[0], "#") && !t.kind.Raw {
			if !t.kind.Late {
				return fault(0, "a # line among the rows", "key lines before the header only")
			}
			if err := t.key(keyLine(strings.Join(cells, string(t.Separator))), line); err != nil {
				return Row{}, err
			}
			continue
		}
		if len(cells) != len(t.at) {
			return fault(min(len(cells), len(t.at))+1, fmt.Sprintf("%d cells where the header has %d", len(cells), len(t.at)), "a cell for each column")
		}
		row := Row{line, make([]string, len(t.Header))}
		for i, c := range cells {
			if strings.Contains(c, "\n") && !t.kind.Raw {
				return fault(i+1, "a line break within a cell", "text on one line")
			}
			row.Fields[t.at[i]] = c
		}
		return row, nil
	}
}
