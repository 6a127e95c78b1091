package rules

import (
	"bytes"
	"fmt"
	"strings"

	"tawny/colour/table"
)

// reader walks an embedded table. The tables are part of the build and every
// one is read in the tests, so a fault in them is a programming error.
type reader struct {
	f   *table.File
	row int
}

func open(raw []byte, name, header string) *reader {
	f, err := table.Read(name, bytes.NewReader(raw), table.Kind{Header: strings.Split(header, ",")})
	if err != nil {
		panic(err)
	}
	return &reader{f, -1}
}

func (r *reader) next() bool {
	r.row++
	return r.row < len(r.f.Rows)
}

func (r *reader) text(i int) string { return r.f.Rows[r.row].Fields[i] }

// number is 0 where the field is empty.
func (r *reader) number(i int) float64 {
	s := r.text(i)
	if s == "" {
		return 0
	}
	v, err := table.Number(s, 0, 1000)
	if err != nil {
		panic(r.f.Fault(r.f.Rows[r.row], i, err.Error(), "a number"))
	}
	return v
}

func (r *reader) yes(i int) bool {
	switch r.text(i) {
	case "yes":
		return true
	case "no", "":
		return false
	}
	panic(r.f.Fault(r.f.Rows[r.row], i, fmt.Sprintf("%q", r.text(i)), "yes or no"))
}

// words splits a field at semicolons.
func (r *reader) words(i int) []string { return table.Words(r.text(i)) }
