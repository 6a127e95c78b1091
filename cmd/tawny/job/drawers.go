package job

import (
	"errors"
	"io/fs"
	"sync"

	"tawny/blend/palette"
)

// Drawers keeps one drawer read and computed for each binder it was asked for, so
// that jobs in quick succession do not read the files again (package palette keeps
// the optics themselves). The drawers are only read.
// The zero value keeps the built-in drawer.
type Drawers struct {
	Path string // CSV file; "" for the built-in drawer

	mu sync.Mutex
	by map[float64]*palette.Drawer // by refractive index of the binder
}

// own is the drawer that may be added to without being named, or "".
func (e *Env) own() string {
	if e.Drawers == nil {
		return ""
	}
	return e.Drawers.Path
}

// inDrawer changes a drawer: the one named, or the one the face was begun with, which
// it alone writes, whatever files it lends a request.
func (e *Env) inDrawer(named string, change func(env *Env, drawer string) error) error {
	if named != "" || e.own() == "" {
		return change(e, named)
	}
	defer e.Drawers.forget()
	return change(&Env{Files: Disk, Now: e.Now}, e.own())
}

// inUse is the file, or "" for the built-in drawer: until its first powder is added
// there is none.
func (d *Drawers) inUse() string {
	if _, err := fs.Stat(Disk, d.Path); errors.Is(err, fs.ErrNotExist) {
		return ""
	}
	return d.Path
}

// Open returns the drawer for a binder of the given refractive index.
func (d *Drawers) Open(binder float64) (*palette.Drawer, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if p := d.by[binder]; p != nil {
		return p, nil
	}
	p, err := (&Env{Files: Disk}).OpenDrawer(d.inUse(), binder)
	if err != nil {
		return nil, err
	}
	if d.by == nil {
		d.by = map[float64]*palette.Drawer{}
	}
	d.by[binder] = p
	return p, nil
}

// forget lets the drawer be read again, once it has changed.
func (d *Drawers) forget() {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.by = nil
}
