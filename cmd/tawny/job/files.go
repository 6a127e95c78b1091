package job

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// WriteFile writes a file whole or not at all: under a temporary name beside
// it, renamed when done.
func WriteFile(path string, write func(io.Writer) error) error {
	var b bytes.Buffer
	if err := write(&b); err != nil {
		return err
	}
	return WriteFiles(OutFile{path, b.Bytes()})
}

// OutFile is one file of several that belong together.
type OutFile struct {
	Path string
	Data []byte
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
		if e = errors.Join(written(t, f.Data), t.Chmod(0o644), t.Close()); e != nil {
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

// OpenOut makes sure, before any work, that files can be written into a folder.
// The folder is made with the first file and not before, so that a request that
// is refused leaves no trace.
func OpenOut(dir string) error {
	if dir == "" {
		return nil
	}
	nearest := filepath.Clean(dir)
	for {
		info, err := os.Stat(nearest)
		if err == nil && !info.IsDir() {
			return inputf("cannot write in %s: %s is not a folder", dir, nearest)
		}
		if err == nil {
			break
		}
		if !errors.Is(err, os.ErrNotExist) || nearest == filepath.Dir(nearest) {
			return input(fmt.Errorf("cannot write in %s: %w", dir, reason(err)))
		}
		nearest = filepath.Dir(nearest)
	}
	f, err := os.CreateTemp(nearest, ".tawny-*")
	if err != nil {
		return input(fmt.Errorf("cannot write in %s: %w", dir, reason(err)))
	}
	f.Close()
	return os.Remove(f.Name())
}

// MakeOut makes the folder that OpenOut looked at, now that there is something
// to put into it.
func MakeOut(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return input(fmt.Errorf("cannot make folder %s: %w", dir, reason(err)))
	}
	return nil
}

// write writes files that a request names, all or none.
func (e *Env) write(files ...OutFile) error {
	if _, ok := e.Files.(disk); !ok {
		return inputf("%s cannot be written from here; the command line can", files[len(files)-1].Path)
	}
	return WriteFiles(files...)
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

func written(w io.Writer, data []byte) error {
	_, err := w.Write(data)
	return err
}
