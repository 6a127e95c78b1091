package job

import (
	"io"

	"tawny/swatches"
)

// deliver makes the card and the batch sheet of what was saved.
func (v *BookSaved) deliver(env *Env, format string) error {
	file, err := SheetFile(format)
	if err != nil {
		return err
	}
	c, err := v.Result.Card(CardOptions{Jars: true})
	if err != nil {
		return err
	}
	if err := env.drawn("card", "png", swatches.Paper{}, c); err != nil {
		return err
	}
	return env.deliver(file, func(w io.Writer) error { return WriteSheet(w, v.Batch, format, c, false) })
}
