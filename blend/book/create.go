package book

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
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
	temp, err := os.CreateTemp(dir, unfinished+"*") // mode 0600
	if err != nil {
		return fmt.Errorf("the book cannot be made: %w", err)
	}
	name := temp.Name()
	temp.Close()
	defer removeBook(name)

	b := &Book{path: name, db: open(name, "rw")}
	if err := b.migrate(ctx); err != nil {
		b.db.Close()
		return err
	}
	if err := b.Close(); err != nil {
		return err
	}
	if err := settle(name, path); err != nil && !errors.Is(err, fs.ErrExist) {
		return fmt.Errorf("the book cannot be made: %w", err)
	}
	return nil
}

// settle gives the finished file temp its name, never replacing a file that
// has that name already (fs.ErrExist).
func settle(temp, name string) error {
	if err := syncFile(temp); err != nil {
		return err
	}
	err := os.Link(temp, name)
	if err != nil && !errors.Is(err, fs.ErrExist) {
		// Some file systems, such as those of memory cards, have no links.
		if _, statErr := os.Lstat(name); statErr == nil {
			return fs.ErrExist
		}
		err = os.Rename(temp, name)
	}
	if err != nil {
		return err
	}
	syncFolder(filepath.Dir(name))
	return nil
}

// syncFile puts a file's bytes on the disk.
func syncFile(name string) error {
	f, err := os.OpenFile(name, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// syncFolder puts a new name on the disk where the system can; Windows cannot
// and does not need to.
func syncFolder(dir string) {
	if d, err := os.Open(dir); err == nil {
		_ = d.Sync()
		d.Close()
	}
}

// unfinished is what the name of a copy begins with until it is whole.
const unfinished = ".tawny-copy-"

// sweep removes the copies that programs left in a folder which were ended
// before they were whole: an hour later nothing still writes them.
func sweep(dir string) {
	list, _ := os.ReadDir(dir) // none where there is no folder
	for _, e := range list {
		info, err := e.Info()
		if err == nil && strings.HasPrefix(e.Name(), unfinished) && time.Since(info.ModTime()) > time.Hour {
			os.RemoveAll(filepath.Join(dir, e.Name()))
		}
	}
}

// removeBook removes an SQLite file and what SQLite keeps beside it.
func removeBook(name string) {
	for _, suffix := range []string{"", "-wal", "-shm", "-journal"} {
		os.Remove(name + suffix)
	}
}
