package book

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"tawny/blend/store"
)

// create makes a new book at path, whole or not at all: it is made and filled
// under another name in the same folder and given its own name only when
// complete. Where another program makes one meanwhile, that one stands, and the
// error is [fs.ErrExist].
func create(ctx context.Context, path string, fill func(*Book) error) error {
	if log, err := os.Stat(path + "-wal"); err == nil && log.Size() > 0 {
		return fmt.Errorf("%s is missing but its log %s-wal is there, which may hold the last things written. "+
			"Put the book back beside it; or, to start a new book, move the log elsewhere", path, path)
	}
	dir := filepath.Dir(path)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return fmt.Errorf("no folder for the book: %w", err)
	}
	err := store.Make(path, func(temp string) error {
		b := &Book{path: path, db: open(temp, "rw")}
		err := b.migrate(ctx)
		if err == nil {
			err = fill(b)
		}
		return errors.Join(err, b.Close())
	})
	if err != nil {
		return fmt.Errorf("the book cannot be made: %w", err)
	}
	return nil
}

// ImportNew makes a new book at path of an export: all of it, or no book.
func ImportNew(ctx context.Context, path, export string) (done Imported, err error) {
	if path, err = filepath.Abs(path); err != nil {
		return done, err
	}
	err = create(ctx, path, func(b *Book) error {
		done, err = b.ImportFile(ctx, export)
		return err
	})
	return done, err
}
