package palette

import (
	"bytes"
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"
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
var drawerKind = table.Kind{
	Header: []string{
		"name", "family", "inci", "ci", "layers", "substrate_nm", "spectrum", "d10_um", "d50_um", "d90_um", "density_g_cm3",
		"bulk_g_ml", "oil_absorption_g_100g", "price_per_g", "stock_g", "lot", "areas", "source",
	},
	MaxRows: MaxPowders,
}

// Bare is what the layers column holds for a flake without a coat.
const Bare = "bare"

// MaxPowders is far above any drawer.
const MaxPowders = 500

//go:embed *.csv
var builtin embed.FS

// Builtin returns tawny's own drawer of modelled powders, optics computed for
// a binder of the given refractive index.
func Builtin(binder float64) (*Drawer, error) {
	data, err := builtin.ReadFile("palette.csv")
	if err != nil {
		return nil, err
	}
	p, err := Parse("palette.csv", bytes.NewReader(data), builtin)
	if err != nil {
		return nil, err
	}
	return p, p.ComputeOptics(binder)
}

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
			return nil, r.fail("name", "was already listed on line %d; each name once is accepted", before)
		}
		lineOf[key] = row.Line
		p.Pigments = append(p.Pigments, pigment)
	}
	return p, nil
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

func (r *drawerRow) text(column string) string {
	return r.row.Fields[slices.Index(r.file.Header, column)]
}

func (r *drawerRow) fail(column, format string, args ...any) error {
	return fmt.Errorf("%s:%d: %s %q: %w", r.file.Name, r.row.Line, column, table.Clip(r.text(column)), fmt.Errorf(format, args...))
}

// number reads a column that must lie in [low, high]; blank gives fallback,
// where one is allowed.
func (r *drawerRow) number(column string, low, high, fallback float64) (float64, error) {
	s := r.text(column)
	if s == "" {
		if math.IsNaN(fallback) {
			return 0, r.fail(column, "a number from %g to %g is needed", low, high)
		}
		return fallback, nil
	}
	x, err := table.Number(s, low, high)
	if err != nil {
		return 0, r.fail(column, "a number from %g to %g is accepted", low, high)
	}
	return x, nil
}

func (r *drawerRow) pigment() (*Pigment, error) {
	p := &Pigment{Name: r.text("name"), Family: r.text("family"), Lot: r.text("lot"), Spectrum: r.text("spectrum")}
	if err := CheckName(p.Name); err != nil {
		return nil, r.fail("name", "%w", err)
	}
	var err error
	if p.INCI, err = r.inci(); err != nil {
		return nil, err
	}
	for _, ci := range splitList(r.text("ci")) {
		p.CI = append(p.CI, ci)
	}
	if err := r.optics(p); err != nil {
		return nil, err
	}
	need := math.NaN()
	for _, n := range []struct {
		column              string
		to                  *float64
		low, high, fallback float64
	}{
		{"d10_um", &p.D10, 0.001, 2000, need},
		{"d50_um", &p.D50, 0.001, 2000, need},
		{"d90_um", &p.D90, 0.001, 2000, need},
		{"density_g_cm3", &p.Density, 0.5, 10, need},
		{"bulk_g_ml", &p.BulkDensity, 0.02, 5, need},
		{"oil_absorption_g_100g", &p.OilAbsorption, 5, 500, need},
		{"price_per_g", &p.PricePerG, 0, 1e6, 0},
		{"stock_g", &p.StockG, 0, 1e9, 0},
	} {
		if *n.to, err = r.number(n.column, n.low, n.high, n.fallback); err != nil {
			return nil, err
		}
	}
	if !(p.D10 < p.D50 && p.D50 < p.D90) {
		return nil, r.fail("d50_um", "d10 < d50 < d90 is accepted, got %g, %g, %g µm", p.D10, p.D50, p.D90)
	}
	for _, a := range splitList(r.text("areas")) {
		switch area := Area(strings.ToLower(a)); area {
		case Body, Eyes, Lips:
			p.Areas = append(p.Areas, area)
		default:
			return nil, r.fail("areas", "body, eyes and lips joined by ; are accepted")
		}
	}
	if len(p.Areas) == 0 {
		return nil, r.fail("areas", "at least one of body, eyes, lips joined by ; is needed")
	}
	switch s := Source(strings.ToLower(r.text("source"))); s {
	case Modelled, Guessed, Measured, Demo:
		p.Source = s
	default:
		return nil, r.fail("source", "modelled, guessed, measured or demo is accepted")
	}
	return p, nil
}

// optics reads layers and spectrum, of which exactly one is filled.
func (r *drawerRow) optics(p *Pigment) error {
	layers := r.text("layers")
	switch {
	case layers == "" && p.Spectrum == "":
		return r.fail("layers", "either layers (such as rutile:75, or %s for an uncoated flake) or a spectrum file is needed", Bare)
	case layers != "" && p.Spectrum != "":
		return r.fail("spectrum", "layers and spectrum are both filled; exactly one is accepted")
	case p.Spectrum != "":
		if r.text("substrate_nm") != "" {
			return r.fail("substrate_nm", "only a flake with layers has a substrate; leave it blank")
		}
		optics, err := readPowderSpectrum(r.files, p.Spectrum)
		if err != nil {
			return fmt.Errorf("%s:%d: spectrum: %w", r.file.Name, r.row.Line, err)
		}
		p.Optics = optics
		return nil
	}
	var err error
	if p.Substrate, err = r.number("substrate_nm", 50, 5000, 400); err != nil {
		return err
	}
	if strings.EqualFold(layers, Bare) {
		return nil
	}
	if p.Layers, err = flake.ParseLayers(layers); err != nil {
		return fmt.Errorf("%s:%d: layers: %w", r.file.Name, r.row.Line, err)
	}
	return nil
}

func (r *drawerRow) inci() (list []Ingredient, err error) {
	sum := 0.0
	for _, item := range splitList(r.text("inci")) {
		name, percent, ok := strings.Cut(item, "=")
		x, err := strconv.ParseFloat(strings.TrimSpace(percent), 64)
		if name = strings.TrimSpace(name); !ok || name == "" || err != nil || !(x > 0 && x <= 100) {
			return nil, r.fail("inci", "name=percent joined by ; is accepted, such as Mica=60;Titanium Dioxide=40")
		}
		sum += x
		list = append(list, Ingredient{INCI: name, Percent: x})
	}
	if math.Abs(sum-100) > 0.5 {
		return nil, r.fail("inci", "the percentages sum to %.4g; 100 is accepted", sum)
	}
	return list, nil
}

func splitList(s string) (list []string) {
	for _, item := range strings.Split(s, ";") {
		if item = strings.TrimSpace(item); item != "" {
			list = append(list, item)
		}
	}
	return list
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
	names := make([]string, len(p.Pigments))
	for i, g := range p.Pigments {
		names[i] = g.Name
	}
	sort.Strings(names)
	return names
}
