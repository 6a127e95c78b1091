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
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// File is a file to be written.
type File struct {
	Path string
	Data []byte
}

// Unfinished is what the name of a file, or of a folder of such, begins with that
// is not yet in place.
const Unfinished = ".tawny-new-"

// pending is the list of a set that is being put in place.
const pending = ".tawny-set.json"

// fault is called before every step that changes the disk; tests make it fail
// or end the process there.
var fault = func(step string) error { return nil }

// ErrBegun marks the failure of a write that had put some of its files in place.
var ErrBegun = errors.New("some of the files are written")

// Write puts files in place in their order, each whole or not at all. A file
// that later ones name comes before them.
func Write(files ...File) error {
	staged, err := stage(files)
	if err != nil {
		return err
	}
	for i, s := range staged {
		if err := s.put(); err != nil {
			discard(staged[i:])
			if i > 0 {
				err = fmt.Errorf("%w; %w", err, ErrBegun)
			}
			return err
		}
	}
	syncFolders(staged)
	return nil
}

// move is a file staged and where it goes, both in one folder.
type move struct{ from, to string }

func (m move) put() error {
	if err := fault("rename"); err != nil {
		return err
	}
	if err := os.Rename(m.from, m.to); err != nil {
		return fmt.Errorf("cannot write %s: %w", m.to, Bare(err))
	}
	return nil
}

// stage writes each file under a temporary name beside its place.
func stage(files []File) (staged []move, err error) {
	defer func() {
		if err != nil {
			discard(staged)
		}
	}()
	for _, f := range files {
		to, err := follow(f.Path)
		if err != nil {
			return staged, fmt.Errorf("cannot write %s: %w", f.Path, Bare(err))
		}
		old, err := os.Stat(to)
		if err == nil && old.IsDir() {
			return staged, fmt.Errorf("cannot write %s: it is a folder", f.Path)
		}
		Sweep(filepath.Dir(to))
		if err := fault("stage"); err != nil {
			return staged, err
		}
		t, err := create(filepath.Dir(to))
		if err != nil {
			return staged, fmt.Errorf("cannot write %s: %w", f.Path, Bare(err))
		}
		staged = append(staged, move{t.Name(), to})
		if old != nil {
			err = t.Chmod(old.Mode().Perm())
		}
		_, failed := t.Write(f.Data)
		if err := errors.Join(err, failed, t.Sync(), t.Close()); err != nil {
			return staged, fmt.Errorf("cannot write %s: %w", f.Path, Bare(err))
		}
	}
	return staged, nil
}

// create makes a file of a name of its own, readable by whom the system's umask
// lets: os.CreateTemp keeps all others out.
func create(dir string) (*os.File, error) {
	return os.OpenFile(filepath.Join(dir, Unfinished+rand.Text()), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
}

// follow is the file a path leads to by symbolic links, whether it is there yet
// or not.
func follow(path string) (string, error) {
	for range 40 {
		dir, err := filepath.EvalSymlinks(filepath.Dir(path))
		if err != nil {
			return "", err
		}
		path = filepath.Join(dir, filepath.Base(path))
		link, err := os.Readlink(path)
		switch {
		case err != nil:
			return path, nil // no link, or nothing yet
		case filepath.IsAbs(link):
			path = link
		default:
			path = filepath.Join(dir, link)
		}
	}
	return "", errors.New("its links lead in a circle")
}

func discard(staged []move) {
	for _, s := range staged {
		os.Remove(s.from)
	}
}

// syncFolders brings the renames themselves to the disk, where the system has a
// way to.
func syncFolders(staged []move) {
	dirs := map[string]bool{}
	for _, s := range staged {
		dirs[filepath.Dir(s.to)] = true
	}
	for dir := range dirs {
		SyncFolder(dir)
	}
}

// WriteSet puts the files of one run into a folder, which is made where there
// is none, and returns the paths that had a file before. What stands there never
// mixes two runs: the old files of these names go before the first new one
// comes, and where the program is ended in between, the next one to write there
// brings the new set to its end.
func WriteSet(dir string, files ...File) (over []string, err error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, fmt.Errorf("cannot make folder %s: %w", dir, Bare(err))
	}
	unlock, err := Lock(dir)
	if err != nil {
		return nil, err
	}
	defer unlock()
	if err := settle(dir); err != nil {
		return nil, err
	}
	for i, f := range files {
		files[i].Path = filepath.Join(dir, f.Path)
		if _, err := os.Stat(files[i].Path); err == nil {
			over = append(over, files[i].Path)
		}
	}
	if len(files) == 1 {
		return over, Write(files...)
	}
	staged, err := stage(files)
	if err != nil {
		return nil, err
	}
	list := map[string]string{}
	for i, s := range staged {
		list[filepath.Base(files[i].Path)] = filepath.Base(s.from)
	}
	data, err := json.Marshal(list)
	if err == nil {
		err = Write(File{filepath.Join(dir, pending), data})
	}
	if err != nil {
		discard(staged)
		return nil, err
	}
	if err := settle(dir); err != nil {
		return over, fmt.Errorf("%w; %w", err, ErrBegun)
	}
	return over, nil
}

// settle puts a set in place that is listed in a folder: the one just staged, or
// one whose program was ended. The list has names alone, so that a folder from
// somebody else leads to no file outside it but by a link.
func settle(dir string) error {
	path := filepath.Join(dir, pending)
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	var list map[string]string
	if err == nil {
		err = json.Unmarshal(data, &list)
	}
	var moves, still []move
	for _, name := range slices.Sorted(maps.Keys(list)) {
		from := list[name]
		if name != filepath.Base(name) || name == "." || name == ".." || from != filepath.Base(from) || !strings.HasPrefix(from, Unfinished) {
			err = fmt.Errorf("%q is no name of a file", name)
		}
		to, failed := follow(filepath.Join(dir, name))
		err = errors.Join(err, failed)
		m := move{filepath.Join(filepath.Dir(to), from), to}
		moves = append(moves, m)
		if _, err := os.Lstat(m.from); err == nil {
			still = append(still, m)
		}
	}
	if err != nil {
		return fmt.Errorf("%s is left from a run that was ended and cannot be read (%w); remove it once you have looked at the files there", path, Bare(err))
	}
	if len(still) == len(moves) {
		// None is in place yet: the old ones go first.
		for _, m := range moves {
			if err := fault("remove"); err != nil {
				return err
			}
			if err := os.Remove(m.to); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return fmt.Errorf("cannot write %s: %w", m.to, Bare(err))
			}
		}
	}
	for _, m := range still {
		if err := m.put(); err != nil {
			return err
		}
	}
	syncFolders(moves)
	if err := fault("settled"); err != nil {
		return err
	}
	return os.Remove(path)
}

// Sweep clears away what programs left in a folder that were ended before their
// files were whole: an hour later nothing still writes them.
func Sweep(dir string) {
	list, _ := os.ReadDir(dir) // none where there is no folder
	if _, err := os.Lstat(filepath.Join(dir, pending)); err == nil {
		return // they are the rest of a set
	}
	for _, e := range list {
		info, err := e.Info()
		if err == nil && strings.HasPrefix(e.Name(), Unfinished) && time.Since(info.ModTime()) > time.Hour {
			os.RemoveAll(filepath.Join(dir, e.Name()))
		}
	}
}

// Bare strips the path that errors of files repeat.
func Bare(err error) error {
	if e, ok := errors.AsType[*fs.PathError](err); ok {
		return e.Err
	}
	if e, ok := errors.AsType[*os.LinkError](err); ok {
		return e.Err
	}
	return err
}
