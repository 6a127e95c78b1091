package colour

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
)

// mustTable reads an embedded numeric table: '#' lines, one header, rows of
// exactly columns numbers. The tables are compiled in, so a fault in one is a
// fault of the build and panics.
func mustTable(name string, data []byte, columns int) [][]float64 {
	r := csv.NewReader(bytes.NewReader(data))
	r.Comment = '#'
	r.FieldsPerRecord = columns
	records, err := r.ReadAll()
	if err != nil {
		panic(fmt.Sprintf("%s: %v", name, err))
	}
	rows := make([][]float64, 0, len(records))
	for i, record := range records[1:] {
		row := make([]float64, columns)
		for j, field := range record {
			if row[j], err = strconv.ParseFloat(field, 64); err != nil {
				panic(fmt.Sprintf("%s: row %d, column %d: %v", name, i+1, j+1, err))
			}
		}
		rows = append(rows, row)
	}
	return rows
}
