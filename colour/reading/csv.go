package reading

import (
	"fmt"
	"strings"

	"tawny/colour/table"
)

// csvKind is a file with a sample in each row, or a wavelength in each.
var csvKind = table.Kind{Late: true, MaxRows: MaxSamples, MaxBytes: 2 * MaxFileBytes}

// parseCSV reads '#' lines, one header, and rows.
func parseCSV(file, text string) ([]Sample, Notes, error) {
	f, err := table.Read(file, strings.NewReader(text), csvKind)
	if err != nil {
		return nil, nil, err
	}
	return FromTable(f)
}

// FromTable reads the samples of a table that was read for more than its
// colours.
func FromTable(f *table.File) ([]Sample, Notes, error) {
	t := &sampleTable{File: f, labDefault: "D65"}
	if isLong(f.Header) {
		return t.long()
	}
	for _, c := range f.Header {
		t.columns = append(t.columns, readHeader(c))
	}
	if err := t.check(f.HeaderLine); err != nil {
		return nil, nil, err
	}
	if !t.holdsColour() {
		return nil, nil, t.LineFault(f.HeaderLine, "header", fmt.Sprintf("%q names no colour", table.Clip(strings.Join(f.Header, ","))), accepted)
	}
	var notes Notes
	samples, err := t.samples(&notes)
	if err != nil {
		return nil, nil, err
	}
	return samples, notes, nil
}
