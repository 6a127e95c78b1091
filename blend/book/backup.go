package book

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"
)

// Backup writes a whole copy of the book, clients among it, to a new file at
// path, while the book stays in use. The copy is read through and found sound
// before it is given its name; nothing that exists is replaced.
func (b *Book) Backup(ctx context.Context, path string) error {
	path, err := filepath.Abs(path)
	if err != nil {
		return err
	}
	if _, err := os.Lstat(path); err == nil {
		return fmt.Errorf("%s is there already; name a new file for the backup", path)
	}
	temp, err := os.CreateTemp(filepath.Dir(path), ".backup-*") // mode 0600
	if err != nil {
		return fmt.Errorf("the backup cannot be written: %w", err)
	}
	name := temp.Name()
	temp.Close()
	defer removeBook(name)
	if _, err := b.db.ExecContext(ctx, "VACUUM INTO ?", name); err != nil {
		return fmt.Errorf("the backup was not written: %w", b.explain(err, ""))
	}
	if err := sound(ctx, name); err != nil {
		return fmt.Errorf("the backup was not written: the copy does not read back: %w", err)
	}
	switch err := settle(name, path); {
	case errors.Is(err, fs.ErrExist):
		return fmt.Errorf("%s is there already; name a new file for the backup", path)
	case err != nil:
		return fmt.Errorf("the backup was not written: %w", err)
	}
	return nil
}

// sound reads the whole of a book that nobody else has open.
func sound(ctx context.Context, path string) error {
	if info, err := os.Stat(path); err != nil {
		return err
	} else if info.Size() == 0 {
		return damaged(path, "the file is empty")
	}
	if _, err := glance(ctx, path, glanceTime); err != nil {
		return err
	}
	db := open(path, "ro")
	defer db.Close()
	var found string
	if err := db.QueryRowContext(ctx, "PRAGMA integrity_check(1)").Scan(&found); err != nil {
		return (&Book{path: path}).explain(err, "")
	}
	if found != "ok" {
		return damaged(path, found)
	}
	return nil
}

// Restore puts the backup in the place of the book at path, which nobody may
// have open. The backup is read through first. What was at path, sound or
// damaged, is kept beside it: keptAs is its new name, empty where there was
// nothing.
func Restore(ctx context.Context, backup, path string) (keptAs string, err error) {
	if path, err = filepath.Abs(path); err != nil {
		return "", err
	}
	if backup, err = filepath.Abs(backup); err != nil {
		return "", err
	}
	if err := sound(ctx, backup); err != nil {
		return "", fmt.Errorf("the backup will not do: %w", err)
	}
	temp, err := os.CreateTemp(filepath.Dir(path), ".restored-*")
	if err != nil {
		return "", fmt.Errorf("the backup cannot be restored: %w", err)
	}
	name := temp.Name()
	temp.Close()
	defer removeBook(name)
	// By SQLite and not byte by byte, so that a backup someone has opened
	// since, and which has a log, comes whole.
	from := &Book{path: backup, db: open(backup, "ro")}
	_, err = from.db.ExecContext(ctx, "VACUUM INTO ?", name)
	if err = errors.Join(from.explain(err, ""), from.db.Close()); err != nil {
		return "", fmt.Errorf("the backup cannot be restored: %w", err)
	}
	if keptAs, err = setAside(path); err != nil {
		return "", fmt.Errorf("the backup cannot be restored: %w", err)
	}
	if err := settle(name, path); err != nil {
		return keptAs, fmt.Errorf("the backup cannot be restored: %w", err)
	}
	return keptAs, nil
}

// setAside renames the book at path, and its log with it: a log left behind
// would be taken for the new book's.
func setAside(path string) (keptAs string, err error) {
	if _, err := os.Lstat(path); errors.Is(err, fs.ErrNotExist) {
		if _, err := os.Lstat(path + "-wal"); errors.Is(err, fs.ErrNotExist) {
			return "", nil
		}
	}
	keptAs = path + ".kept-" + time.Now().Format("20060102-150405")
	for n := 2; ; n++ {
		if _, err := os.Lstat(keptAs); errors.Is(err, fs.ErrNotExist) {
			break
		}
		keptAs = fmt.Sprintf("%s.kept-%s-%d", path, time.Now().Format("20060102-150405"), n)
	}
	for _, suffix := range []string{"-shm", "-wal", ""} {
		if err := os.Rename(path+suffix, keptAs+suffix); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return "", err
		}
	}
	return keptAs, nil
}
