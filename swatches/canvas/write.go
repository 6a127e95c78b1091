package canvas

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// WriteFile writes a file under a temporary name in the same folder and
// renames it into place, so that a reader never meets half of it and a failed
// write leaves what was there before. The folder is made where it is missing.
func WriteFile(path string, write func(io.Writer) error) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return fmt.Errorf("%s is a folder; a file name is accepted", path)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, cause(err))
	}
	f, err := os.CreateTemp(filepath.Dir(path), ".swatch-*")
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, cause(err))
	}
	defer os.Remove(f.Name()) // does nothing once renamed
	err = write(f)
	if err == nil {
		err = f.Chmod(0o644)
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Rename(f.Name(), path)
	}
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, cause(err))
	}
	return nil
}

// cause strips the temporary name from an error.
func cause(err error) error {
	switch e := err.(type) {
	case *os.PathError:
		return e.Err
	case *os.LinkError:
		return e.Err
	}
	return err
}
