package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
)

// Make makes a new file, whole or not at all: fill writes one of another name,
// which is there, empty and nobody else's to read, and which is then given its own.
// Where a file has that name by then, it stays, and the error is [fs.ErrExist].
func Make(path string, fill func(temp string) error) error {
	return Beside(path, func(temp string) error {
		if err := os.WriteFile(temp, nil, 0o600); err != nil {
			return err
		}
		if err := errors.Join(fault("make"), fill(temp)); err != nil {
			return err
		}
		if err := errors.Join(fault("sync"), SyncFile(temp), fault("settle")); err != nil {
			return err
		}
		return errors.Join(settleNew(temp, path), fault("settled"))
	})
}

// Beside lends do a name for what is to take the place of path, on the same disk,
// in a folder of its own that only this user can read; what do leaves there goes.
func Beside(path string, do func(temp string) error) error {
	Sweep(filepath.Dir(filepath.Clean(path)))
	dir, err := os.MkdirTemp(filepath.Dir(filepath.Clean(path)), Unfinished+"*") // mode 0700
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	return do(filepath.Join(dir, "new"))
}

// settleNew gives a finished file its name, never replacing one.
func settleNew(temp, name string) error {
	err := os.Link(temp, name)
	if err != nil && !errors.Is(err, fs.ErrExist) {
		// Some file systems, such as those of memory cards, have no links.
		if _, statErr := os.Lstat(name); statErr == nil {
			return fs.ErrExist
		}
		err = os.Rename(temp, name)
	}
	if err == nil {
		SyncFolder(filepath.Dir(name))
	}
	return err
}

// SyncFile brings a file's bytes to the disk.
func SyncFile(name string) error {
	f, err := os.OpenFile(name, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}

// SyncFolder brings new names in a folder to the disk, where the system has a way
// to: the bytes are safe either way.
func SyncFolder(dir string) {
	if d, err := os.Open(dir); err == nil {
		d.Sync()
		d.Close()
	}
}
