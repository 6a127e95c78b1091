package colour

import (
	"bytes"
	"fmt"

	"tawny/colour/table"
)

// mustTable reads an embedded table of numbers. The tables are compiled in, so
// a fault in one is a fault of the build and panics.
func mustTable(name string, data []byte, columns int) [][]float64 {
	f, err := table.Read(name, bytes.NewReader(data), table.Kind{})
	if err != nil {
		panic(err)
	}
	rows := make([][]float64, len(f.Rows))
	for i, row := range f.Rows {
		if len(row.Fields) != columns {
			panic(fmt.Sprintf("%s:%d: %d columns, not %d", name, row.Line, len(row.Fields), columns))
		}
		rows[i] = make([]float64, columns)
		for j, text := range row.Fields {
			if rows[i][j], err = table.Finite(text); err != nil {
				panic(f.Fault(row, j, err.Error(), "a number"))
			}
		}
	}
	return rows
}
