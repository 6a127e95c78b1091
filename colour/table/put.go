package table

import (
	"bytes"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Figure writes a number to eight digits in the file's way: with a decimal
// comma where semicolons part the cells.
func (f *File) Figure(x float64) string {
	s := strconv.FormatFloat(x, 'g', 8, 64)
	if f.Separator == ';' {
		return strings.Replace(s, ".", ",", 1)
	}
	return s
}

// Put returns the file's bytes with a row, cell by cell from what value gives
// for a column, in the place of the row at a line, or at the end for line 0; where
// value is nil the row at that line goes.
// All else stays as it is, but that a file in another alphabet becomes UTF-8.
func (f *File) Put(data []byte, line int, value func(column string) string) ([]byte, error) {
	if bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")) || !utf8.Valid(data) {
		text, err := Text(f.Name, bytes.NewReader(data), MaxBytes)
		if err != nil {
			return nil, err
		}
		data = []byte("\ufeff" + text) // with the mark, by which a spreadsheet knows UTF-8
	}
	all := endedLines(data)
	if value == nil {
		return []byte(strings.Join(slices.Delete(all, line-1, line), "")), nil
	}
	var row bytes.Buffer
	w := csv.NewWriter(&row)
	w.Comma = f.Separator
	cells := make([]string, len(f.written))
	for i, h := range f.written {
		cells[i] = value(strings.ToLower(h))
	}
	if err := w.Write(cells); err != nil {
		return nil, err
	}
	w.Flush()
	end := lineEnd(all[f.HeaderLine-1])
	if end == "" {
		end = "\n"
	}
	put := strings.TrimSuffix(row.String(), "\n") + end
	if line > 0 {
		all[line-1] = put
	} else {
		if lineEnd(all[len(all)-1]) == "" {
			all[len(all)-1] += end
		}
		all = append(all, put)
	}
	return []byte(strings.Join(all, "")), nil
}

// endedLines splits a text into lines with what ends them.
func endedLines(data []byte) (all []string) {
	for len(data) > 0 {
		n := bytes.IndexAny(data, "\r\n") + 1
		switch {
		case n == 0:
			n = len(data)
		case data[n-1] == '\r' && n < len(data) && data[n] == '\n':
			n++
		}
		all = append(all, string(data[:n]))
		data = data[n:]
	}
	return all
}

func lineEnd(line string) string { return line[len(strings.TrimRight(line, "\r\n")):] }
