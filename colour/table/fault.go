package table

import (
	"fmt"
	"strings"
)

// Error is a fault of a file. Column counts cells from 1, and is 0 where the
// whole line is at fault.
type Error struct {
	File    string
	Line    int
	Column  int
	Field   string
	Problem string
	Accept  string // what would be accepted
}

// Error is "drawer.csv:3: d10_um: "x" is not a number; accepted: 0.001 to 2000".
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d", e.Line)
	}
	b.WriteString(": ")
	if e.Field != "" {
		b.WriteString(e.Field + ": ")
	}
	b.WriteString(e.Problem)
	if e.Accept != "" {
		b.WriteString("; accepted: " + e.Accept)
	}
	return b.String()
}

// Fault is an Error at a cell of a row, by the place of its column.
func (f *File) Fault(r Row, column int, problem, accept string) *Error {
	return &Error{File: f.Name, Line: r.Line, Column: column + 1, Field: f.Header[column], Problem: problem, Accept: accept}
}

// LineFault is an Error at a line, of the whole of it for no field.
func (f *File) LineFault(line int, field, problem, accept string) *Error {
	return &Error{File: f.Name, Line: line, Field: field, Problem: problem, Accept: accept}
}

// KeyFault is an Error at a key line.
func (f *File) KeyFault(k Key, problem, accept string) *Error {
	return &Error{File: f.Name, Line: k.Line, Field: k.Name, Problem: problem, Accept: accept}
}

// Clip cuts what an error quotes to a line's length.
func Clip(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}
