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

// Kind is what a file must be like.
type Kind struct {
	Header   []string // the columns, found by name in any order; nil takes any header
	Optional []string // those of Header that may be missing
	MaxBytes int64    // 0 is the package's
	MaxRows  int      // 0 is any number
	Late     bool     // `#` lines may stand among the rows
}

// File is a file as read.
type File struct {
	Name       string
	Keys       []Key
	Header     []string // the kind's, or as the file has it
	HeaderLine int
	Rows       []Row
}

// Key is one `# key: value` line, its name in lower case.
type Key struct {
	Name, Value string
	Line        int
}

// Row is one row; its cells are trimmed and as many as the header has.
type Row struct {
	Line   int
	Fields []string
}

// Value is the value of a key, or "".
func (f *File) Value(key string) string {
	k, _ := f.Key(key)
	return k.Value
}

// Key finds a key.
func (f *File) Key(name string) (Key, bool) {
	i := slices.IndexFunc(f.Keys, func(k Key) bool { return k.Name == name })
	if i < 0 {
		return Key{}, false
	}
	return f.Keys[i], true
}

// Read reads a file of a kind; name is used in errors, which are [*Error].
func Read(name string, r io.Reader, k Kind) (*File, error) {
	if k.MaxBytes == 0 {
		k.MaxBytes = MaxBytes
	}
	text, err := Text(name, r, k.MaxBytes)
	if err != nil {
		return nil, err
	}
	return Parse(name, text, k)
}

// Parse reads a file's text, decoded.
func Parse(name, text string, k Kind) (*File, error) {
	f := &File{Name: name}
	rest, before, err := f.readKeys(text, k.Late)
	if err != nil {
		return nil, err
	}
	if rest == "" {
		return nil, &Error{File: name, Line: before + 1, Problem: "the file has no header", Accept: k.wants()}
	}
	return f, f.readRows(rest, before, k)
}

// wants says what a header is.
func (k *Kind) wants() string {
	if k.Header == nil {
		return "a header and rows under it"
	}
	return strings.Join(k.Header, ",")
}

// readKeys takes the key lines and blank lines off the front.
func (f *File) readKeys(text string, late bool) (rest string, lines int, err error) {
	for text != "" {
		line, after, _ := strings.Cut(text, "\n")
		said := keyLine(line)
		if said != "" && !strings.HasPrefix(said, "#") {
			return text, lines, nil
		}
		text = after
		lines++
		if err := f.key(said, lines, late); err != nil {
			return "", 0, err
		}
	}
	return "", lines, nil
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
func (f *File) key(said string, line int, late bool) error {
	name, value, ok := strings.Cut(strings.TrimLeft(said, "# \t"), ":")
	if name = strings.ToLower(strings.TrimSpace(name)); !ok || name == "" {
		return nil
	}
	if i := slices.IndexFunc(f.Keys, func(k Key) bool { return k.Name == name }); i >= 0 && late {
		f.Keys[i] = Key{name, strings.TrimSpace(value), line} // an instrument's file: the last holds
		return nil
	}
	if first, twice := f.Key(name); twice {
		return &Error{File: f.Name, Line: line, Field: Clip(name), Problem: fmt.Sprintf("the key was given already on line %d", first.Line), Accept: "each key once"}
	}
	f.Keys = append(f.Keys, Key{name, strings.TrimSpace(value), line})
	return nil
}

// separator is what stands between the header's cells: a tab if it has one
// outside quotes, else a semicolon, else a comma.
func separator(header string) rune {
	quoted := false
	tab, semicolon := false, false
	for _, r := range header {
		switch {
		case r == '"':
			quoted = !quoted
		case quoted:
		case r == '\t':
			tab = true
		case r == ';':
			semicolon = true
		}
	}
	switch {
	case tab:
		return '\t'
	case semicolon:
		return ';'
	}
	return ','
}

// decimalComma is a number with one.
var decimalComma = regexp.MustCompile(`^[-+]?\d*,\d+(?:[eE][-+]?\d+)?$`)

func (f *File) readRows(rest string, before int, k Kind) error {
	first, _, _ := strings.Cut(rest, "\n")
	r := csv.NewReader(strings.NewReader(rest))
	r.Comma = separator(first)
	r.FieldsPerRecord = -1
	r.TrimLeadingSpace = r.Comma != '\t'
	var at []int // the place of each cell of a row in the kind's columns
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			line := before + 1
			if pe, ok := errors.AsType[*csv.ParseError](err); ok {
				line = before + pe.Line
			}
			return &Error{File: f.Name, Line: line, Problem: "the quotes do not close", Accept: `text in quotes, with "" for a quote inside`}
		}
		line, _ := r.FieldPos(0)
		line += before
		for i, c := range cells {
			cells[i] = strings.TrimSpace(c)
			if r.Comma != ',' && decimalComma.MatchString(cells[i]) {
				cells[i] = strings.Replace(cells[i], ",", ".", 1)
			}
		}
		switch {
		case !slices.ContainsFunc(cells, func(c string) bool { return c != "" }):
		case at == nil:
			if at, err = f.header(cells, line, k); err != nil {
				return err
			}
		case strings.HasPrefix(cells[0], "#"):
			if !k.Late {
				return &Error{File: f.Name, Line: line, Problem: "a # line among the rows", Accept: "key lines before the header only"}
			}
			if err := f.key(strings.Join(cells, string(r.Comma)), line, true); err != nil {
				return err
			}
		default:
			if err := f.row(cells, at, line, k); err != nil {
				return err
			}
		}
	}
	if at == nil {
		return &Error{File: f.Name, Line: before + 1, Problem: "the file has no header", Accept: k.wants()}
	}
	if len(f.Rows) == 0 {
		return &Error{File: f.Name, Line: f.HeaderLine, Problem: "no rows under the header", Accept: "at least one row"}
	}
	return nil
}

// header finds the kind's columns by their names.
func (f *File) header(cells []string, line int, k Kind) (at []int, err error) {
	for len(cells) > 0 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	f.HeaderLine = line
	at = make([]int, len(cells))
	if k.Header == nil {
		for i := range cells {
			at[i] = i
		}
		f.Header = cells
		return at, nil
	}
	f.Header = k.Header
	fault := func(i int, problem string) error {
		return &Error{File: f.Name, Line: line, Column: i + 1, Field: "header", Problem: problem, Accept: k.wants()}
	}
	found := make([]bool, len(k.Header))
	for i, c := range cells {
		at[i] = slices.IndexFunc(k.Header, func(h string) bool { return strings.EqualFold(h, c) })
		switch {
		case at[i] < 0:
			return nil, fault(i, fmt.Sprintf("there is no column %q", Clip(c)))
		case found[at[i]]:
			return nil, fault(i, fmt.Sprintf("the column %q stands there twice", c))
		}
		found[at[i]] = true
	}
	for i, h := range k.Header {
		if !found[i] && !slices.Contains(k.Optional, h) {
			return nil, fault(len(cells), fmt.Sprintf("the column %q is missing", h))
		}
	}
	return at, nil
}

func (f *File) row(cells []string, at []int, line int, k Kind) error {
	for len(cells) > len(at) && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	if len(cells) != len(at) {
		return &Error{
			File: f.Name, Line: line, Column: min(len(cells), len(at)) + 1,
			Problem: fmt.Sprintf("%d cells where the header has %d", len(cells), len(at)), Accept: "a cell for each column",
		}
	}
	if k.MaxRows > 0 && len(f.Rows) == k.MaxRows {
		return &Error{File: f.Name, Line: line, Problem: fmt.Sprintf("more than %d rows", k.MaxRows), Accept: "at most that"}
	}
	fields := make([]string, len(f.Header))
	for i, c := range cells {
		fields[at[i]] = c
	}
	f.Rows = append(f.Rows, Row{line, fields})
	return nil
}
