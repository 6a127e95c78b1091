package work

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// WriteFile writes a file whole or not at all: under a temporary name beside
// it, renamed when done.
func WriteFile(path string, write func(io.Writer) error) error {
	return WriteFiles(OutFile{path, write})
}

// OutFile is one file of several that belong together.
type OutFile struct {
	Path  string
	Write func(io.Writer) error
}

// WriteFiles writes all of the files or none: each under a temporary name, and
// renamed only when every one is whole.
func WriteFiles(files ...OutFile) (err error) {
	var temporary []string
	defer func() {
		if err != nil {
			for _, t := range temporary {
				os.Remove(t)
			}
		}
	}()
	for _, f := range files {
		if info, e := os.Stat(f.Path); e == nil && info.IsDir() {
			return inputf("cannot write %s: it is a folder", f.Path)
		}
		t, e := os.CreateTemp(filepath.Dir(f.Path), ".tawny-*")
		if e != nil {
			return input(fmt.Errorf("cannot write %s: %w", f.Path, reason(e)))
		}
		temporary = append(temporary, t.Name())
		if e = errors.Join(f.Write(t), t.Chmod(0o644), t.Close()); e != nil {
			return e
		}
	}
	for i, f := range files {
		if err = os.Rename(temporary[i], f.Path); err != nil {
			return input(fmt.Errorf("cannot write %s: %w", f.Path, reason(err)))
		}
	}
	return nil
}

// OpenOut makes sure a folder exists and can be written to, before any work.
func OpenOut(dir string) error {
	if dir == "" {
		return nil
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return input(fmt.Errorf("cannot make folder %s: %w", dir, reason(err)))
	}
	f, err := os.CreateTemp(dir, ".tawny-*")
	if err != nil {
		return input(fmt.Errorf("cannot write in %s: %w", dir, reason(err)))
	}
	f.Close()
	return os.Remove(f.Name())
}

// reason strips the path that os errors repeat.
func reason(err error) error {
	switch e := err.(type) {
	case *os.PathError:
		return e.Err
	case *os.LinkError:
		return e.Err
	}
	return err
}
