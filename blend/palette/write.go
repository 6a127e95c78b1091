package palette

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"

	"tawny/colour/table"
)

// ErrListed means a drawer already has a powder of that name.
var ErrListed = errors.New("already in the drawer")

// Cell is one column of the powder's row.
func (g *Pigment) Cell(column string) string { return g.Row()[slices.Index(columnNames, column)] }

// Row returns the powder as one row of a drawer's file, in the order of
// the header.
func (g *Pigment) Row() []string {
	return listed(g.columns(new(table.File).Figure), func(c column) string { return c.cell })
}

// PutRow returns a drawer's file with the powder's row appended, or in the place
// of the row of the same name where replace is set; every other line is kept
// as it stands. An empty file becomes a new one. Without replace, a name
// already listed is ErrListed.
func PutRow(file []byte, g *Pigment, replace bool) ([]byte, error) {
	if len(bytes.TrimSpace(file)) == 0 {
		var out bytes.Buffer
		w := table.NewWriter(&out)
		w.Key("title", "a drawer of powders")
		w.Row(drawerKind.Header...)
		w.Row(g.Row()...)
		err := w.Flush()
		return out.Bytes(), err
	}
	f, line, err := findRow(file, g.Name)
	if err != nil {
		return nil, err
	}
	if line > 0 && !replace {
		return nil, fmt.Errorf("powder %q is %w", g.Name, ErrListed)
	}
	columns := g.columns(f.Figure)
	return f.Put(file, line, func(column string) string {
		if i := slices.Index(columnNames, column); i >= 0 {
			return columns[i].cell
		}
		return ""
	})
}

// TakeRow returns a drawer's file without the row of a powder; every other line is
// kept as it stands.
func TakeRow(file []byte, name string) ([]byte, error) {
	f, line, err := findRow(file, name)
	if err != nil {
		return nil, err
	}
	if line == 0 {
		return nil, fmt.Errorf("powder %q is not in the drawer", table.Clip(name))
	}
	return f.Put(file, line, nil)
}

// findRow finds the line of a powder in a drawer's file, 0 for none.
func findRow(file []byte, name string) (f *table.File, line int, err error) {
	if f, err = table.Read("the drawer", bytes.NewReader(file), drawerKind); err != nil {
		return nil, 0, err
	}
	for _, r := range f.Rows {
		if strings.EqualFold(r.Fields[0], strings.TrimSpace(name)) {
			line = r.Line
		}
	}
	return f, line, nil
}
