package work

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// WriteFile writes a file whole or not at all: under a temporary name beside
// it, renamed when done.
func WriteFile(path string, write func(io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(path), ".tawny-*")
	if err != nil {
		return input(fmt.Errorf("cannot write %s: %w", path, reason(err)))
	}
	defer func() {
		if err != nil {
			f.Close()
			os.Remove(f.Name())
		}
	}()
	if err = write(f); err != nil {
		return err
	}
	if err = f.Chmod(0o644); err != nil {
		return err
	}
	if err = f.Close(); err != nil {
		return err
	}
	if err = os.Rename(f.Name(), path); err != nil {
		return input(fmt.Errorf("cannot write %s: %w", path, reason(err)))
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
