package job

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"tawny/blend/book"
)

// BookExported is an export written.
type BookExported struct {
	File string `json:"file"`
	book.Exported
}

// Export writes the whole book, clients only where asked for.
func (k Book) Export(ctx context.Context, file string, clients bool) (*BookExported, error) {
	v := &BookExported{File: file}
	return v, k.read(ctx, func(b *book.Book) (err error) {
		if err := newFile(file); err != nil {
			return err
		}
		v.Exported, err = b.ExportFile(ctx, file, book.ExportOptions{Clients: clients})
		return err
	})
}

// BookImported is an export read into an empty book.
type BookImported struct {
	File string `json:"file"`
	Book string `json:"book"`
	book.Imported
}

// Import reads an export into an empty book.
func (k Book) Import(ctx context.Context, file string) (*BookImported, error) {
	if _, err := os.Stat(file); err != nil {
		return nil, inputf("export %s: %w", file, reason(err))
	}
	there, err := k.there(ctx)
	if err != nil {
		return nil, err
	}
	if !there {
		// An export that is refused leaves no empty book behind: it is tried
		// on another first.
		if err := tryImport(ctx, file); err != nil {
			return nil, err
		}
	}
	v := &BookImported{File: file}
	return v, k.write(ctx, func(b *book.Book) (err error) {
		v.Book = b.Path()
		v.Imported, err = b.ImportFile(ctx, file)
		if err != nil && ctx.Err() == nil {
			return input(err) // what is wrong is the export
		}
		return err
	})
}

func tryImport(ctx context.Context, file string) error {
	dir, err := os.MkdirTemp("", "tawny-import-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	b, err := book.Open(ctx, filepath.Join(dir, "book.db"))
	if err != nil {
		return err
	}
	defer b.Close()
	if _, err := b.ImportFile(ctx, file); err != nil && ctx.Err() == nil {
		return input(err)
	}
	return ctx.Err()
}

// BookBackup is a backup written.
type BookBackup struct {
	File string `json:"file"`
	Book string `json:"book"`
}

// Backup writes a whole copy of the book, clients among it.
func (k Book) Backup(ctx context.Context, file string) (*BookBackup, error) {
	v := &BookBackup{File: file}
	return v, k.read(ctx, func(b *book.Book) error {
		v.Book = b.Path()
		if err := newFile(file); err != nil {
			return err
		}
		return b.Backup(ctx, file)
	})
}

// newFile refuses a name that is taken.
func newFile(file string) error {
	if _, err := os.Lstat(file); err == nil {
		return inputf("%s is there already; a new name is accepted", file)
	} else if !errors.Is(err, fs.ErrNotExist) {
		return inputf("%s: %w", file, reason(err))
	}
	return nil
}

// BookRestored is a backup put in the book's place.
type BookRestored struct {
	Book   string `json:"book"`
	File   string `json:"file"`
	KeptAs string `json:"keptAs,omitempty"` // what was in its place
}

// Restore puts a backup in the book's place and keeps what was there.
func (k Book) Restore(ctx context.Context, file string) (*BookRestored, error) {
	path, err := k.path()
	if err != nil {
		return nil, err
	}
	if _, err := os.Stat(file); err != nil {
		return nil, inputf("backup %s: %w", file, reason(err))
	}
	kept, err := book.Restore(ctx, disk{}.whole(file), path)
	if err != nil {
		return nil, bookError(err)
	}
	return &BookRestored{path, file, kept}, nil
}

// BookChecked is what a check of the whole book found.
type BookChecked struct {
	Book     string         `json:"book"`
	Findings []book.Finding `json:"findings"`
}

// Serious counts the findings that say something is broken.
func (v *BookChecked) Serious() (n int) {
	for _, f := range v.Findings {
		if f.Serious {
			n++
		}
	}
	return n
}

// Check reads the whole book.
func (k Book) Check(ctx context.Context) (*BookChecked, error) {
	v := &BookChecked{Findings: []book.Finding{}}
	return v, k.read(ctx, func(b *book.Book) error {
		v.Book = b.Path()
		found, err := b.Check(ctx)
		v.Findings = append(v.Findings, found...)
		return err
	})
}
