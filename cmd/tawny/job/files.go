package job

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"tawny/blend/store"
)

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
			return writeError(fmt.Errorf("cannot write in %s: %w", dir, store.Bare(err)))
		}
		nearest = filepath.Dir(nearest)
	}
	f, err := os.CreateTemp(nearest, store.Unfinished+"*")
	if err != nil {
		return writeError(fmt.Errorf("cannot write in %s: %w", dir, store.Bare(err)))
	}
	f.Close()
	return os.Remove(f.Name())
}

// WriteOut puts the files of a run into a folder and returns their paths, and
// those that had a file before. Its errors are never the asker's: the job is
// done by then, and may have written the book.
func WriteOut(dir string, made []File) (paths, over []string, err error) {
	if len(made) == 0 {
		return nil, nil, nil
	}
	var files []store.File
	for _, f := range made {
		paths = append(paths, filepath.Join(dir, f.Name))
		files = append(files, store.File{Path: f.Name, Data: f.Data})
	}
	if over, err = store.WriteSet(dir, files...); err != nil {
		return nil, nil, err
	}
	return paths, over, nil
}

// write writes files that a request names, in their order.
func (e *Env) write(files ...store.File) error {
	if err := e.mayWrite(files[len(files)-1].Path); err != nil {
		return err
	}
	return writeError(store.Write(files...))
}

func (e *Env) remove(path string) error {
	if err := e.mayWrite(path); err != nil {
		return err
	}
	return writeError(os.Remove(path))
}

func (e *Env) mayWrite(path string) error {
	if _, ok := e.Files.(disk); !ok {
		return inputf("%s cannot be written from here; the command line can", path)
	}
	return nil
}

// writeError marks what the asker can do something about: a name that leads
// nowhere, but not a disk that takes nothing, nor a write that had begun.
func writeError(err error) error {
	if err == nil || isDisk(err) || errors.Is(err, store.ErrBegun) {
		return err
	}
	return input(err)
}
