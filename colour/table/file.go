package table

import (
	"fmt"
	"io"
	"slices"
	"strings"
)

// Kind is what a file must be like.
type Kind struct {
	Header   []string // the columns, found by name in any order; nil takes any header
	Optional []string // those of Header that may be missing
	MaxBytes int64    // 0 is the package's
	MaxRow   int      // bytes in a row; 0 is the package's
	MaxRows  int      // 0 is any number
	Late     bool     // `#` lines may stand among the rows
	Raw      bool     // cells are left as they are, blanks and line breaks with them
}

// File is a file as read.
type File struct {
	Name       string
	Keys       []Key
	Header     []string // the kind's, or as the file has it
	HeaderLine int
	Separator  rune // between cells
	Rows       []Row

	written []string // the header as the file has it
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

// Cell is a row's cell in a column, by its name in any case, or "" where the file
// has no such column.
func (f *File) Cell(r Row, column string) string {
	i := slices.IndexFunc(f.Header, func(h string) bool { return strings.EqualFold(h, column) })
	if i < 0 {
		return ""
	}
	return r.Fields[i]
}

// Read reads a file of a kind; name is used in errors, which are [*Error].
func Read(name string, r io.Reader, k Kind) (*File, error) {
	t, err := NewReader(name, r, k)
	if err != nil {
		return nil, err
	}
	f := &t.File
	for {
		row, err := t.Next()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, err
		}
		if k.MaxRows > 0 && len(f.Rows) == k.MaxRows {
			return nil, &Error{File: name, Line: row.Line, Problem: fmt.Sprintf("more than %d rows", k.MaxRows), Accept: "at most that"}
		}
		f.Rows = append(f.Rows, row)
	}
	if len(f.Rows) == 0 {
		return nil, &Error{File: name, Line: f.HeaderLine, Problem: "no rows under the header", Accept: "at least one row"}
	}
	return f, nil
}

// Words splits a cell at semicolons, leaving out what is empty.
func Words(s string) (list []string) {
	for _, w := range strings.Split(s, ";") {
		if w = strings.TrimSpace(w); w != "" {
			list = append(list, w)
		}
	}
	return list
}

// wants says what a header is.
func (k *Kind) wants() string {
	if k.Header == nil {
		return "a header and rows under it"
	}
	return strings.Join(k.Header, ",")
}
