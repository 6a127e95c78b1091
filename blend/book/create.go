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

// create makes a new, empty book at path, whole or not at all: it is made
// under another name in the same folder and given its own name only when
// complete. Where another program makes one meanwhile, that one stands.
func create(ctx context.Context, path string) error {
	if log, err := os.Stat(path + "-wal"); err == nil && log.Size() > 0 {
		return fmt.Errorf("%s is missing but its log %s-wal is there, which may hold the last things written. "+
			"Put the book back beside it; or, to start a new book, move the log elsewhere", path, path)
	}
	dir := filepath.Dir(path)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return fmt.Errorf("no folder for the book: %w", err)
	}
	err := store.Make(path, func(temp string) error {
		b := &Book{path: temp, db: open(temp, "rw")}
		if err := b.migrate(ctx); err != nil {
			b.db.Close()
			return err
		}
		return b.Close()
	})
	if err != nil && !errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("the book cannot be made: %w", err)
	}
	return nil
}
