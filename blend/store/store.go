// Package store writes the files a maker keeps, so that whatever ends a program
// in the middle, a killed process or a failing disk, each file is as it was or
// as it was meant to be.
//
// A file is written under a name of its own in the same folder, brought to the
// disk (fsync), given the old one's permissions and renamed over it; a symbolic
// link is followed to the file it names. Several files of one run go in as a
// set: see [WriteSet]. Two programs that read, change and write one file take
// its [Lock] first.
package store

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/gofrs/flock"
)

// File is a file to be written.
type File struct {
	Path string
	Data []byte
}

// Names that the package gives: a file not yet in place, and the list of a set
// that is being put in place.
const (
	temporary = ".tawny-new-"
	pending   = ".tawny-set.json"
)

// fault is called before every step that changes the disk; tests make it fail
// or end the process there.
var fault = func(step string) error { return nil }

// Write puts files in place in their order, each whole or not at all. A file
// that later ones name comes before them.
func Write(files ...File) error {
	staged, err := stage(files)
	if err != nil {
		return err
	}
	for i, s := range staged {
		if err := rename(s.from, s.to); err != nil {
			discard(staged[i:])
			return err
		}
	}
	return syncFolders(staged)
}

// move is a file staged and where it goes.
type move struct{ from, to string }

// stage writes each file under a temporary name beside its place.
func stage(files []File) (staged []move, err error) {
	defer func() {
		if err != nil {
			discard(staged)
		}
	}()
	for _, f := range files {
		to, mode, err := place(f.Path)
		if err != nil {
			return staged, err
		}
		if err := fault("stage"); err != nil {
			return staged, err
		}
		t, err := os.CreateTemp(filepath.Dir(to), temporary+"*")
		if err != nil {
			return staged, fmt.Errorf("cannot write %s: %w", f.Path, bare(err))
		}
		staged = append(staged, move{t.Name(), to})
		_, err = t.Write(f.Data)
		if err := errors.Join(err, t.Chmod(mode), t.Sync(), t.Close()); err != nil {
			return staged, fmt.Errorf("cannot write %s: %w", f.Path, bare(err))
		}
	}
	return staged, nil
}

// place is the file a path leads to, symbolic links followed, and the
// permissions it has or will have.
func place(path string) (to string, mode fs.FileMode, err error) {
	to, err = filepath.EvalSymlinks(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return path, 0o644, nil
	case err != nil:
		return "", 0, fmt.Errorf("cannot write %s: %w", path, bare(err))
	}
	info, err := os.Stat(to)
	switch {
	case err != nil:
		return "", 0, fmt.Errorf("cannot write %s: %w", path, bare(err))
	case info.IsDir():
		return "", 0, fmt.Errorf("cannot write %s: it is a folder", path)
	}
	return to, info.Mode().Perm(), nil
}

func rename(from, to string) error {
	if err := fault("rename"); err != nil {
		return err
	}
	if err := os.Rename(from, to); err != nil {
		return fmt.Errorf("cannot write %s: %w", to, bare(err))
	}
	return nil
}

func discard(staged []move) {
	for _, s := range staged {
		os.Remove(s.from)
	}
}

// syncFolders brings the renames themselves to the disk, where the system has a
// way to.
func syncFolders(staged []move) error {
	var done []string
	for _, s := range staged {
		dir := filepath.Dir(s.to)
		if slices.Contains(done, dir) {
			continue
		}
		done = append(done, dir)
		if d, err := os.Open(dir); err == nil {
			d.Sync() // not every file system can; the data is safe either way
			d.Close()
		}
	}
	return nil
}

// WriteSet puts the files of one run into a folder, which is made where there
// is none, and returns the paths that had a file before. What stands there never
// mixes two runs: the old files of these names go before the first new one
// comes, and where the program is ended in between, Settle brings the new set
// to its end.
func WriteSet(dir string, files ...File) (over []string, err error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fmt.Errorf("cannot make folder %s: %w", dir, bare(err))
	}
	if err := Settle(dir); err != nil {
		return nil, err
	}
	for i, f := range files {
		files[i].Path = filepath.Join(dir, f.Path)
		if _, err := os.Stat(files[i].Path); err == nil {
			over = append(over, files[i].Path)
		}
	}
	if len(files) == 1 || len(over) == 0 {
		return over, Write(files...)
	}
	staged, err := stage(files)
	if err != nil {
		return nil, err
	}
	list := map[string]string{}
	for _, s := range staged {
		list[filepath.Base(s.from)] = s.to
	}
	data, err := json.Marshal(list)
	if err == nil {
		err = Write(File{filepath.Join(dir, pending), data})
	}
	if err != nil {
		discard(staged)
		return nil, err
	}
	return over, Settle(dir)
}

// Settle ends what a program that was ended in the middle of WriteSet began in
// a folder, and clears away what one left before that. It does nothing where
// there is nothing to do.
func Settle(dir string) error {
	path := filepath.Join(dir, pending)
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return sweep(dir)
	}
	var list map[string]string
	if err == nil {
		err = json.Unmarshal(data, &list)
	}
	if err != nil {
		return fmt.Errorf("%s is left from a run that was ended and cannot be read (%w); remove it once you have looked at the files there", path, bare(err))
	}
	var moves []move
	for from, to := range list {
		moves = append(moves, move{filepath.Join(dir, from), to})
	}
	slices.SortFunc(moves, func(a, b move) int { return strings.Compare(a.to, b.to) })
	still := slices.DeleteFunc(slices.Clone(moves), func(m move) bool { _, err := os.Lstat(m.from); return err != nil })
	if len(still) == len(moves) {
		// None is in place yet: the old ones go first.
		for _, m := range moves {
			if err := fault("remove"); err != nil {
				return err
			}
			if err := os.Remove(m.to); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return fmt.Errorf("cannot write %s: %w", m.to, bare(err))
			}
		}
	}
	for _, m := range still {
		if err := rename(m.from, m.to); err != nil {
			return err
		}
	}
	if err := fault("settled"); err != nil {
		return err
	}
	return errors.Join(syncFolders(moves), os.Remove(path))
}

// sweep clears away what a run left that was ended before its files were whole:
// a day later nothing still writes them.
func sweep(dir string) error {
	left, err := filepath.Glob(filepath.Join(dir, temporary+"*"))
	if err != nil {
		return nil // a folder whose name is a pattern: nothing is swept there
	}
	for _, path := range left {
		if info, err := os.Stat(path); err == nil && time.Since(info.ModTime()) > 24*time.Hour {
			os.Remove(path)
		}
	}
	return nil
}

// Lock keeps other programs of this user from changing a file between reading
// and writing it. The lock is a file of its own in the user's cache folder, so
// that nothing is left beside hers; it ends with the program.
func Lock(path string) (unlock func(), err error) {
	whole, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	if real, err := filepath.EvalSymlinks(whole); err == nil {
		whole = real
	}
	dir, err := os.UserCacheDir()
	if err != nil {
		dir = os.TempDir()
	}
	dir = filepath.Join(dir, "tawny", "locks")
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, fmt.Errorf("cannot lock %s: %w", path, bare(err))
	}
	sum := sha256.Sum256([]byte(whole))
	l := flock.New(filepath.Join(dir, hex.EncodeToString(sum[:12])))
	if err := l.Lock(); err != nil {
		return nil, fmt.Errorf("cannot lock %s: %w", path, bare(err))
	}
	return func() { l.Unlock() }, nil
}

// bare strips the path that errors of files repeat.
func bare(err error) error {
	if e, ok := errors.AsType[*fs.PathError](err); ok {
		return e.Err
	}
	if e, ok := errors.AsType[*os.LinkError](err); ok {
		return e.Err
	}
	return err
}
