package work

import (
	"fmt"
	"io"
	"path/filepath"

	"tawny/swatches"
)

// Deliver writes the card and the batch sheet of what was saved into a folder.
// Both are made before the first is written.
func (v *BookSaved) Deliver(dir, format string) (*Delivery, error) {
	file, err := SheetFile(format)
	if err != nil {
		return nil, err
	}
	if err := OpenOut(dir); err != nil {
		return nil, err
	}
	c, err := v.Result.Card(CardOptions{Jars: true})
	if err != nil {
		return nil, err
	}
	if err := c.Check(); err != nil {
		return nil, err
	}
	d := &Delivery{Card: filepath.Join(dir, "card.png"), Sheet: filepath.Join(dir, file)}
	if err := swatches.WritePNG(d.Card, c, swatches.Paper{}); err != nil {
		return nil, input(fmt.Errorf("card: %w", err))
	}
	return d, WriteFile(d.Sheet, func(w io.Writer) error { return WriteSheet(w, v.Batch, format, c, false) })
}
