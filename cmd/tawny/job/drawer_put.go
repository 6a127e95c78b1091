package job

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"testing/fstest"

	"tawny/blend/drawdown"
	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/jar"
	"tawny/blend/palette"
	"tawny/blend/store"
	"tawny/colour"
	"tawny/colour/table"
)

// AddedView says where a powder was put.
type AddedView struct {
	Drawer   string `json:"drawer"`
	Spectrum string `json:"spectrum,omitempty"`
	Replaced bool   `json:"replaced"`
	New      bool   `json:"new"` // the drawer was made
}

// putPowder writes a powder into a drawer, with its spectrum beside it where
// note is given. The spectrum gets a name of its own, never another file's, and
// the drawer is renamed into place last, so that it never names a file that is
// not there.
func putPowder(env *Env, drawerFile string, p *palette.Pigment, note *palette.FitNote, replace bool) (*AddedView, string, error) {
	if drawerFile == "" {
		return nil, "", inputf("no drawer to add to; give {drawer} drawer.csv")
	}
	if err := env.mayWrite(drawerFile); err != nil {
		return nil, "", err
	}
	// Nobody else changes the drawer between its reading and its writing.
	unlock, err := store.Lock(drawerFile)
	if err != nil {
		return nil, "", err
	}
	defer unlock()
	file, fresh, err := env.drawerText(drawerFile)
	if err != nil {
		return nil, "", err
	}
	added := &AddedView{Drawer: drawerFile, New: fresh}
	dir := filepath.Dir(drawerFile)
	if note != nil {
		if p.Spectrum, err = env.freeName(dir, p.Name, p.Lot); err != nil {
			return nil, "", err
		}
		added.Spectrum = filepath.Join(dir, p.Spectrum)
		p.Dispersion, p.Doubt = 0, 0
	}
	if !fresh {
		_, err := palette.PutRow(file, p, false)
		added.Replaced = err != nil
	}
	out, err := palette.PutRow(file, p, replace)
	if err != nil {
		return nil, "", inputf("%s: %w; {replace} puts the new one in its place", drawerFile, err)
	}
	var files []store.File
	beside := withNew{env.beside(drawerFile), fstest.MapFS{}}
	if note != nil {
		// What is written is the powder as it lies, its dispersion in it.
		var b bytes.Buffer
		if err := palette.WritePowderSpectrum(&b, &p.Optics, note); err != nil {
			return nil, "", err
		}
		beside.new[p.Spectrum] = &fstest.MapFile{Data: b.Bytes()}
		files = append(files, store.File{Path: added.Spectrum, Data: b.Bytes()})
	}
	// The drawer as it will be must read before the old one goes.
	if _, err = palette.Parse(drawerFile, bytes.NewReader(out), beside); err != nil {
		return nil, "", input(err)
	}
	return added, strings.Join(p.Row(), ","), env.write(append(files, store.File{Path: drawerFile, Data: out})...)
}

// withNew is a folder with files in it that are still to be written.
type withNew struct {
	fs.FS
	new fstest.MapFS
}

func (w withNew) Open(name string) (fs.File, error) {
	if f, err := w.new.Open(name); err == nil {
		return f, nil
	}
	return w.FS.Open(name)
}

// drawerText reads a drawer as it stands; one that is not there is empty.
func (e *Env) drawerText(drawerFile string) (file []byte, fresh bool, err error) {
	if _, err := fs.Stat(e.fsys(), drawerFile); errors.Is(err, fs.ErrNotExist) {
		return nil, true, nil
	}
	// Whatever is wrong with the drawer is said as when it is opened.
	if _, err := e.OpenDrawer(drawerFile, film.DefaultIndex); err != nil {
		return nil, false, err
	}
	file, err = e.read(drawerFile, table.MaxBytes)
	return file, false, err
}

// freeName returns a name for a powder's spectrum that no file in dir has.
func (e *Env) freeName(dir, powder, lot string) (string, error) {
	base := Slug(powder+" "+lot, "powder")
	for i := 1; i < 10000; i++ {
		name := base + ".csv"
		if i > 1 {
			name = fmt.Sprintf("%s-%d.csv", base, i)
		}
		if _, err := fs.Stat(e.fsys(), filepath.Join(dir, name)); errors.Is(err, fs.ErrNotExist) {
			return name, nil
		}
	}
	return "", inputf("%s holds too many spectra of %s", dir, powder)
}

// likeOf is what a powder that was drawn down has from elsewhere: all of what the
// file says it is like, in a binder of that index, else of what the drawer has of
// that name where it is to be replaced, else nothing.
func (e *Env) likeOf(d *drawdown.File, drawerFile string, replace bool, binder float64) (*palette.Pigment, error) {
	var drawer *palette.Drawer
	var err error
	if e.isFile(drawerFile) {
		if drawer, err = e.OpenDrawer(drawerFile, binder); err != nil {
			return nil, err
		}
	}
	p, old := &palette.Pigment{}, (*palette.Pigment)(nil)
	if drawer != nil && replace {
		old, _ = drawer.Find(d.Keys["powder"])
	}
	switch like := d.Keys["like"]; {
	case old != nil && like == "":
		*p = *old
	case like != "":
		list, err := findAlike(like, drawer, binder)
		if err != nil {
			return nil, fmt.Errorf("%s: like: %w", d.Name, err)
		}
		*p = *list[0]
		p.StockG, p.PricePerG, p.Lot = 0, 0, ""
		if old != nil {
			p.StockG, p.PricePerG = old.StockG, old.PricePerG
		}
	}
	return p, nil
}

// pigmentOf is what a file of drawdowns says of its powder beside the colour: what
// it is like, with the file's own lines over it. coat and substrate are those of
// the flake it is like, or "".
func (e *Env) pigmentOf(d *drawdown.File, like *palette.Pigment, drawerFile string) (p *palette.Pigment, coat string, substrate float64, err error) {
	k := d.Keys
	if err := palette.CheckName(k["powder"]); err != nil {
		return nil, "", 0, inputf("%s: powder is %q; %w", d.Name, table.Clip(k["powder"]), err)
	}
	p = like
	if coat, substrate, err = e.coatOf(p, drawerFile); err != nil {
		return nil, "", 0, err
	}
	p.Name, p.Layers, p.Substrate = k["powder"], nil, 0
	if err := d.Describe(p); err != nil {
		return nil, "", 0, input(err)
	}
	if p.Family == "" || len(p.INCI) == 0 || p.D50 == 0 || p.Density == 0 || len(p.Areas) == 0 {
		return nil, "", 0, inputf("%s says too little of the powder to add it; '# like: pale gold' takes what it lacks from a powder of the drawer or the built-in one, or give family, inci, ci, grade, density_g_cm3, bulk_g_ml, oil_absorption_g_100g and areas", d.Name)
	}
	return p, coat, substrate, nil
}

// coatOf returns a powder's coat: its own, or the one its spectrum's note says
// it is like.
func (e *Env) coatOf(p *palette.Pigment, drawerFile string) (coat string, substrate float64, err error) {
	switch {
	case p.Spectrum == "" && p.Substrate > 0:
		return orElse(flake.FormatLayers(p.Layers), palette.Bare), p.Substrate, nil
	case p.Spectrum == "" || !e.isFile(filepath.Join(filepath.Dir(drawerFile), p.Spectrum)):
		return "", 0, nil
	}
	n, err := e.fitNote(drawerFile, p)
	if err != nil || n == nil {
		return "", 0, err
	}
	return n.Coat, n.Substrate, nil
}

// findAlike finds a powder by name in the maker's drawer, then in the built-in one,
// or all of a family there, or what a word for a colour looks like.
func findAlike(name string, drawer *palette.Drawer, binder float64) (list []*palette.Pigment, err error) {
	built, err := palette.Builtin(binder)
	if err != nil {
		return nil, err
	}
	var families []string
	for _, p := range []*palette.Drawer{drawer, built} {
		if p == nil {
			continue
		}
		if g, err := p.Find(name); err == nil {
			return []*palette.Pigment{g}, nil
		}
	}
	for _, g := range built.Pigments {
		if strings.EqualFold(g.Family, strings.TrimSpace(name)) && g.Family != "white" { // which is an opaque pigment's
			list = append(list, g)
		}
		if !slices.Contains(families, g.Family) {
			families = append(families, g.Family)
		}
	}
	if len(list) > 0 {
		return list, nil
	}
	if powder := jar.PowderOf(name); powder != "" {
		g, err := built.Find(powder)
		return []*palette.Pigment{g}, err
	}
	if near := colour.NearBy(name, append(built.Names(), families...)); near != "" {
		return nil, inputf("nothing is called %q; did you mean %q? A powder of the drawer or the built-in one is accepted, or a family: %s", table.Clip(name), near, strings.Join(families, ", "))
	}
	return nil, inputf("nothing is called %q; a powder of the drawer or the built-in one is accepted (tawny drawer lists them), or a family: %s", table.Clip(name), strings.Join(families, ", "))
}
