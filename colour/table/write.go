package table

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"io"
	"strings"
)

// Writer writes a file as [Read] reads it: keys first, then rows. Errors
// are kept for Flush.
type Writer struct {
	w   *bufio.Writer
	csv *csv.Writer
	err error
}

// NewWriter writes to w.
func NewWriter(w io.Writer) *Writer {
	b := bufio.NewWriter(w)
	return &Writer{w: b, csv: csv.NewWriter(b)}
}

// Key writes a '# name: value' line, or nothing where the value is empty.
func (w *Writer) Key(name, value string) {
	if value != "" {
		fmt.Fprintf(w.w, "# %s: %s\n", name, strings.Join(strings.Fields(value), " "))
	}
}

// Row writes a header or a row.
func (w *Writer) Row(cells ...string) {
	if err := w.csv.Write(cells); w.err == nil {
		w.err = err
	}
}

// Flush writes what is left and returns the first error.
func (w *Writer) Flush() error {
	w.csv.Flush()
	for _, err := range []error{w.csv.Error(), w.w.Flush()} {
		if w.err == nil {
			w.err = err
		}
	}
	return w.err
}
