package batch

import (
	"io"

	"tawny/colour/table"
)

// WriteBase writes a base as the file ReadBase reads, for a maker to start
// her own from.
func WriteBase(w io.Writer, b Base) error {
	t := table.NewWriter(w)
	for _, one := range b.fields() {
		t.Key(one.name, one.write())
	}
	t.Row(BaseHeader...)
	for _, in := range b.Ingredients {
		var cells []string
		for _, one := range in.fields(b.Kind) {
			cells = append(cells, one.write())
		}
		t.Row(cells...)
	}
	return t.Flush()
}
