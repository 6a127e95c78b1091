package job

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing/fstest"

	"tawny/blend/drawdown"
	"tawny/blend/palette"
	"tawny/blend/store"
	"tawny/colour/reading"
	"tawny/colour/table"
)

// Disk is this machine's disk, for a face whose asker may read it.
var Disk fs.FS = disk{}

// disk takes names as the system does, from its root or with .. in them.
type disk struct{}

func (disk) Open(name string) (fs.File, error)     { return os.Open(name) }
func (disk) Stat(name string) (fs.FileInfo, error) { return os.Stat(name) }
func (disk) ReadFile(name string) ([]byte, error)  { return os.ReadFile(name) }

// whole is a file's name wherever the program is next started.
func (disk) whole(name string) string {
	if whole, err := filepath.Abs(name); err == nil {
		return whole
	}
	return name
}

func (e *Env) fsys() fs.FS {
	if e.Files == nil {
		return fstest.MapFS{}
	}
	return e.Files
}

// read returns what is in a file of at most so many bytes.
func (e *Env) read(name string, most int64) ([]byte, error) {
	// A pipe or a device is never opened: it might not end.
	info, err := fs.Stat(e.fsys(), name)
	switch {
	case err != nil:
		return nil, inputf("%s: %w", name, store.Bare(err))
	case !info.Mode().IsRegular():
		return nil, inputf("%s is not a file", name)
	case info.Size() > most:
		return nil, inputf("%s is %d bytes; at most %d is read", name, info.Size(), most)
	}
	data, err := fs.ReadFile(e.fsys(), name)
	if err != nil {
		return nil, inputf("%s: %w", name, store.Bare(err))
	}
	return data, nil
}

// isFile reports whether a name is a file that may be read.
func (e *Env) isFile(name string) bool {
	info, err := fs.Stat(e.fsys(), name)
	return err == nil && info.Mode().IsRegular()
}

func (e *Env) isFolder(name string) bool {
	info, err := fs.Stat(e.fsys(), name)
	return err == nil && info.IsDir()
}

// whole is a file's name to be kept, such that it can be read from another
// folder.
func (e *Env) whole(name string) string {
	_, ours := e.Files.(disk)
	if name != "" && (ours || e.Drawers != nil && name == e.Drawers.Path) {
		return disk{}.whole(name)
	}
	return name
}

// samples reads an instrument's file.
func (e *Env) samples(name string) ([]reading.Sample, reading.Notes, error) {
	data, err := e.read(name, reading.MaxFileBytes)
	if err != nil {
		return nil, nil, err
	}
	list, notes, err := reading.Parse(name, bytes.NewReader(data))
	return list, notes, input(err)
}

// readDrawdowns reads a file of drawdowns, and the instrument's file it names
// beside it.
func (e *Env) readDrawdowns(name string) (*drawdown.File, error) {
	data, err := e.read(name, drawdown.MaxFileBytes)
	if err != nil {
		return nil, err
	}
	d, err := drawdown.ParseFile(name, data, func(beside string) ([]reading.Sample, reading.Notes, error) {
		return e.samples(filepath.Join(filepath.Dir(name), beside))
	})
	return d, input(err)
}

// OpenDrawer opens a drawer by file name, or for "" the face's own or the
// built-in one, for a binder of the given refractive index.
func (e *Env) OpenDrawer(name string, binder float64) (*palette.Drawer, error) {
	switch {
	case e.Drawers != nil && (name == "" || name == e.Drawers.Path):
		return e.Drawers.Open(binder)
	case name == "":
		return palette.Builtin(binder)
	}
	data, err := e.read(name, table.MaxBytes)
	if err != nil {
		return nil, err
	}
	files := e.beside(name)
	p, err := palette.Parse(name, bytes.NewReader(data), files)
	if err == nil {
		err = p.ComputeOptics(binder)
	}
	if err == nil {
		err = p.CompleteMeasured(files, binder)
	}
	return p, input(err)
}

// fitNote is what the spectrum of a powder in a maker's drawer says of its fit,
// or nil.
func (e *Env) fitNote(drawer string, g *palette.Pigment) (*palette.FitNote, error) {
	if drawer == "" || g.Spectrum == "" {
		return nil, nil
	}
	files := e.beside(drawer)
	if _, err := fs.Stat(files, g.Spectrum); errors.Is(err, fs.ErrNotExist) {
		return nil, nil // of the built-in drawer, beside this one
	}
	n, err := palette.ReadFitNote(files, g.Spectrum)
	return n, input(err)
}

// beside is the folder a file lies in.
func (e *Env) beside(name string) fs.FS {
	files := e.fsys()
	if e.Drawers != nil && name == e.Drawers.Path {
		files = Disk // the face's own drawer, whatever a request may name
	}
	return folder{files, filepath.Dir(name)}
}

type folder struct {
	files fs.FS
	path  string
}

func (f folder) Open(name string) (fs.File, error) {
	if !fs.ValidPath(name) {
		return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrInvalid}
	}
	return f.files.Open(filepath.Join(f.path, name))
}
