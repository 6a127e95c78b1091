package book

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"tawny/blend/store"
)

// Backup writes a whole copy of the book, clients among it, to a new file at
// path, while the book stays in use. The copy is read through and found sound
// before it is given its name; nothing that exists is replaced.
func (b *Book) Backup(ctx context.Context, path string) error {
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		b.noteCopy(ctx, path)
	}
	return b.copyTo(ctx, path)
}

func (b *Book) copyTo(ctx context.Context, path string) error {
	path, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("%s %w", path, ErrTaken)
	}
	err = store.Make(path, func(temp string) error {
		if _, err := b.db.ExecContext(ctx, "VACUUM INTO ?", temp); err != nil {
			return b.uncopied(err, path)
		}
		if err := sound(ctx, temp); err != nil {
			return fmt.Errorf("the copy does not read back: %w", err)
		}
		return nil
	})
	switch {
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%s %w", path, ErrTaken)
	case err != nil:
		return fmt.Errorf("the backup was not written: %w", err)
	}
	return nil
}
