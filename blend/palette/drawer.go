package palette

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"unicode/utf8"

	"tawny/blend/flake"
	"tawny/colour"
	"tawny/colour/table"
)

// Drawer is powders in the order they were listed.
type Drawer struct {
	Title    string
	Pigments []*Pigment
}

// drawerKind is a drawer's file.
var drawerKind = table.Kind{Header: columnNames, Optional: []string{"dispersion", "doubt"}, MaxRows: MaxPowders}

// Bare is what the layers column holds for a flake without a coat.
const Bare = "bare"

// MaxPowders is far above any drawer.
const MaxPowders = 500

//go:embed *.csv
var builtin embed.FS

// Builtin returns tawny's own drawer of modelled powders, optics computed for
// a binder of the given refractive index.
func Builtin(binder float64) (*Drawer, error) {
	p, err := parsed()
	if err != nil {
		return nil, err
	}
	own := &Drawer{Title: p.Title}
	for _, g := range p.Pigments {
		powder := *g
		own.Pigments = append(own.Pigments, &powder)
	}
	return own, own.ComputeOptics(binder)
}

// parsed is the built-in drawer without its optics, read once.
var parsed = sync.OnceValues(func() (*Drawer, error) {
	data, err := builtin.ReadFile("palette.csv")
	if err != nil {
		return nil, err
	}
	return Parse("palette.csv", bytes.NewReader(data), builtin)
})

// Parse reads a maker's own drawer from a CSV file; name is used in errors and
// files is where spectrum files are looked for. Optics are not computed.
func Parse(name string, r io.Reader, files fs.FS) (*Drawer, error) {
	f, err := table.Read(name, r, drawerKind)
	if err != nil {
		return nil, err
	}
	p := &Drawer{Title: f.Value("title")}
	lineOf := map[string]int{}
	for _, row := range f.Rows {
		r := drawerRow{f, row, files}
		pigment, err := r.pigment()
		if err != nil {
			return nil, err
		}
		key := strings.ToLower(pigment.Name)
		if before, dup := lineOf[key]; dup {
			return nil, r.fault("name", fmt.Sprintf("%q was already listed on line %d", pigment.Name, before), "each name once")
		}
		lineOf[key] = row.Line
		p.Pigments = append(p.Pigments, pigment)
	}
	return p, nil
}

// And is the powders of a drawer, and those of another that it has none of by that
// name.
func (p *Drawer) And(other *Drawer) *Drawer {
	all := &Drawer{Title: p.Title + ", and " + other.Title, Pigments: slices.Clone(p.Pigments)}
	for _, g := range other.Pigments {
		if !slices.ContainsFunc(p.Pigments, func(o *Pigment) bool { return strings.EqualFold(o.Name, g.Name) }) {
			all.Pigments = append(all.Pigments, g)
		}
	}
	return all
}

// CheckName says what is wrong with a powder's name, or nothing. A comma would
// end it in a list of powders, an equals sign where it stands before its share.
func CheckName(name string) error {
	if n := utf8.RuneCountInString(name); n == 0 || n > 60 {
		return errors.New("1 to 60 characters are accepted")
	}
	if strings.ContainsAny(name, "\n\r\t,;=") {
		return errors.New("no commas, semicolons, equals signs or line breaks are accepted")
	}
	return nil
}

// drawerRow is one row while it is read.
type drawerRow struct {
	file  *table.File
	row   table.Row
	files fs.FS
}

func (r *drawerRow) text(column string) string { return r.file.Cell(r.row, column) }

func (r *drawerRow) fault(column, problem, accept string) error {
	return r.file.Fault(r.row, slices.Index(columnNames, column), problem, accept)
}

func (r *drawerRow) pigment() (*Pigment, error) {
	p := &Pigment{Name: r.text("name"), Spectrum: r.text("spectrum")}
	if err := CheckName(p.Name); err != nil {
		return nil, r.fault("name", fmt.Sprintf("%q: %v", table.Clip(p.Name), err), "")
	}
	if err := r.optics(p); err != nil {
		return nil, err
	}
	for i, c := range p.columns(figure) {
		text := r.row.Fields[i]
		if c.read == nil || text == "" && c.empty {
			continue
		}
		if err := c.read(text); err != nil {
			return nil, r.fault(c.name, err.Error(), c.accept)
		}
	}
	if !(p.D10 < p.D50 && p.D50 < p.D90) {
		return nil, r.fault("d50_um", fmt.Sprintf("the sizes are %g, %g, %g µm", p.D10, p.D50, p.D90), "d10 < d50 < d90")
	}
	if p.Dispersion > 0 {
		if p.Spectrum == "" || p.Optics.Flake {
			return nil, r.fault("dispersion", "only ordinary pigment with a spectrum lies in clumps", "an empty cell")
		}
		p.Optics = p.Optics.Scaled(p.Dispersion)
	}
	return p, nil
}

// optics reads layers and spectrum, of which exactly one is filled.
func (r *drawerRow) optics(p *Pigment) error {
	layers, substrate := r.text("layers"), r.text("substrate_nm")
	switch {
	case layers == "" && p.Spectrum == "":
		return r.fault("layers", "neither layers nor a spectrum is given", fmt.Sprintf("either layers (such as rutile:75, or %s for an uncoated flake) or a spectrum file", Bare))
	case layers != "" && p.Spectrum != "":
		return r.fault("spectrum", "layers and spectrum are both filled", "exactly one")
	case p.Spectrum != "":
		if substrate != "" {
			return r.fault("substrate_nm", "only a flake with layers has a substrate", "an empty cell")
		}
		optics, err := readPowderSpectrum(r.files, p.Spectrum)
		if err != nil {
			return r.fault("spectrum", err.Error(), "")
		}
		p.Optics = optics
		return nil
	}
	p.Substrate = 400 // where none is given
	if strings.EqualFold(layers, Bare) {
		return nil
	}
	var err error
	if p.Layers, err = flake.ParseLayers(layers); err != nil {
		return r.fault("layers", err.Error(), "")
	}
	return nil
}

// Find returns the powder of that name, case ignored. For an unknown one the
// error names the nearest, or where none is near, some of what there is.
// A name of the first edition is answered with today's.
func (p *Drawer) Find(name string) (*Pigment, error) {
	want := strings.TrimSpace(name)
	for _, g := range p.Pigments {
		if strings.EqualFold(g.Name, want) {
			return g, nil
		}
	}
	names := p.Names()
	if now := renamed[strings.ToLower(want)]; now != "" {
		return nil, fmt.Errorf("powder %q is now called %q", table.Clip(name), now)
	}
	if near := colour.NearBy(name, names); near != "" {
		return nil, fmt.Errorf("powder %q is not in the drawer; did you mean %q?", table.Clip(name), near)
	}
	const listed = 12
	more := ""
	if len(names) > listed {
		names, more = names[:listed], fmt.Sprintf(" and %d more", len(names)-listed)
	}
	return nil, fmt.Errorf("powder %q is not in the drawer; there are %s%s", table.Clip(name), strings.Join(names, ", "), more)
}

// renamed powders of the built-in drawer, by their names in the first edition.
var renamed = map[string]string{"russet": "fox", "wine": "mulberry"}

// Names returns the powders' names, sorted.
func (p *Drawer) Names() []string {
	names := listed(p.Pigments, func(g *Pigment) string { return g.Name })
	slices.Sort(names)
	return names
}
