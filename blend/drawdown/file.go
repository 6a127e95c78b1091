package drawdown

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"sort"
	"strconv"
	"strings"

	"tawny/colour"
	"tawny/colour/reading"
	"tawny/colour/table"
)

// MaxFileBytes is the largest drawdown file read: a hundred films with a
// spectrum at 1 nm are under 1 MB.
const MaxFileBytes = 4 << 20

// File is a file of drawdowns: what was drawn and what was read.
type File struct {
	Name  string
	Keys  map[string]string // the '# key: value' lines
	Films []FilmRow
	Bare  map[string][]colour.Reading // the grounds, by name
	Notes []string                    // what was taken for granted
}

// FilmRow is one reading of a film over a ground.
type FilmRow struct {
	Line         int
	Film, Ground string
	Lot          string // where a file has films of several, else ""
	Mass         Mass   // of powder
	Reading      colour.Reading
}

// bareFilm is what the film column holds where a row is a reading of the ground
// itself.
const bareFilm = "bare"

// amounts are the columns that say how much powder lies on a cm². Each has its
// error in a column of its own, in the same unit; where that is empty the usual
// one is taken, and said.
var amounts = []struct {
	value, err string
	usual      float64 // relative standard error (common practice; a kitchen balance, a ruler, a wet-film gauge)
	low, high  float64
}{
	{"load_percent", "load_error", 0.01, 0.01, 100},
	{"powder_mg_cm2", "powder_error", 0.03, 1e-4, 100},
	{"film_mg_cm2", "film_error", 0.03, 1e-3, 100},
	{"wet_um", "wet_error", 0.10, 1, 5000},
	{"density_g_cm3", "density_error", 0.01, 0.3, 5},
	{"grams", "grams_error", 0.03, 1e-4, 1000},
	{"area_cm2", "area_error", 0.02, 0.1, 1e5},
}

// drawdownKeys are the '# key: value' lines that are understood.
var drawdownKeys = map[string]bool{
	"title": true, "note": true, "source": true, "powder": true, "family": true, "kind": true, "lot": true, "date": true,
	"geometry": true, "specular": true, "illuminant": true, "observer": true, "scale": true, "instrument": true,
	"tilt": true, "binder_index": true, "readings": true, "like": true, "inci": true, "ci": true, "grade": true,
	"density_g_cm3": true, "bulk_g_ml": true, "oil_absorption_g_100g": true, "price_per_g": true, "stock_g": true, "areas": true,
}

// ParseFile reads a file's text; samples opens the instrument file it names, and
// name is used in errors.
func ParseFile(name string, data []byte, samples func(string) ([]reading.Sample, reading.Notes, error)) (*File, error) {
	d := &File{Name: name, Keys: map[string]string{}, Bare: map[string][]colour.Reading{}}
	f, err := table.Read(name, bytes.NewReader(data), table.Kind{Late: true, MaxBytes: MaxFileBytes})
	if err != nil {
		return nil, err
	}
	t, err := d.table(f)
	if err != nil {
		return nil, err
	}
	read, err := d.colours(f, samples)
	if err != nil {
		return nil, err
	}
	assumed := map[string]bool{}
	for _, r := range t.rows {
		c, err := read(r)
		if err != nil {
			return nil, err
		}
		ground := strings.ToLower(r.cell["ground"])
		if ground == "" {
			return nil, r.fault("ground", "a name is needed, such as black or white")
		}
		if strings.EqualFold(r.cell["film"], bareFilm) {
			d.Bare[ground] = append(d.Bare[ground], c)
			continue
		}
		if r.cell["film"] == "" {
			return nil, r.fault("film", "a name for the film is needed, or %s for a reading of the ground itself", bareFilm)
		}
		m, err := r.mass(assumed)
		if err != nil {
			return nil, err
		}
		d.Films = append(d.Films, FilmRow{r.line, r.cell["film"], ground, r.cell["lot"], m, c})
	}
	if len(d.Films) == 0 {
		return nil, fmt.Errorf("%s has no film; one row a reading is needed, and a row with film %s for each ground", name, bareFilm)
	}
	for _, f := range d.Films {
		if d.Bare[f.Ground] == nil {
			return nil, fmt.Errorf("%s:%d: nothing tells what the ground %q looks like by itself; a row with film %s and ground %s is needed", name, f.Line, f.Ground, bareFilm, f.Ground)
		}
	}
	var unused []string
	for k := range d.Keys {
		if !drawdownKeys[k] {
			unused = append(unused, k)
		}
	}
	sort.Strings(unused)
	for _, k := range unused {
		d.Notes = append(d.Notes, fmt.Sprintf("the line '# %s: …' is not understood and was not used", k))
	}
	for _, a := range amounts {
		if assumed[a.value] {
			d.Notes = append(d.Notes, fmt.Sprintf("no error is given for %s; %.0f %% was taken", a.value, 100*a.usual))
		}
	}
	return d, nil
}

// drawTable is the file as rows of named cells.
type drawTable struct {
	file    string
	columns []string
	rows    []drawRow
}

type drawRow struct {
	file string
	line int
	cell map[string]string
}

func (r *drawRow) fault(column, format string, args ...any) error {
	return fmt.Errorf("%s:%d: %s %q: %s", r.file, r.line, column, table.Clip(r.cell[column]), fmt.Sprintf(format, args...))
}

// table splits the file.
func (d *File) table(f *table.File) (*drawTable, error) {
	for _, k := range f.Keys {
		d.Keys[k.Name] = k.Value
	}
	t := &drawTable{file: d.Name}
	seen := map[string]bool{}
	for _, c := range f.Header {
		c = strings.ToLower(c)
		if c != "" && seen[c] {
			return nil, fmt.Errorf("%s:%d: column %q is given twice", d.Name, f.HeaderLine, c)
		}
		seen[c] = true
		t.columns = append(t.columns, c)
	}
	if !seen["film"] || !seen["ground"] {
		return nil, fmt.Errorf("%s:%d: the header needs the columns film and ground; then powder_mg_cm2, or load_percent with film_mg_cm2, with wet_um and density_g_cm3, or with grams and area_cm2; and the colour as R380, R390 …, as L, a, b, or as sample", d.Name, f.HeaderLine)
	}
	for _, r := range f.Rows {
		row := drawRow{d.Name, r.Line, map[string]string{}}
		for i, c := range r.Fields {
			row.cell[t.columns[i]] = c
		}
		t.rows = append(t.rows, row)
	}
	return t, nil
}

// colours returns how to find a row's colour: in the row itself, or by its
// sample in the instrument file that '# readings:' names.
func (d *File) colours(f *table.File, open func(string) ([]reading.Sample, reading.Notes, error)) (func(drawRow) (colour.Reading, error), error) {
	file := d.Keys["readings"]
	if file == "" {
		samples, notes, err := reading.FromTable(d.withGloss(f))
		if err != nil {
			return nil, err
		}
		d.Notes = append(d.Notes, notes...)
		byLine := map[int]colour.Reading{}
		for _, s := range samples {
			byLine[s.Line] = s.Reading
		}
		return func(r drawRow) (colour.Reading, error) {
			c, ok := byLine[r.line]
			if !ok {
				return c, fmt.Errorf("%s:%d: the row's colour could not be told; keep each row on one line", d.Name, r.line)
			}
			return c, nil
		}, nil
	}
	if strings.ContainsAny(file, `/\`) || strings.Contains(file, "..") {
		return nil, fmt.Errorf("%s: readings %q: the name of a file beside it is accepted", d.Name, file)
	}
	samples, notes, err := open(file)
	if err != nil {
		return nil, fmt.Errorf("%s: readings: %w", d.Name, err)
	}
	d.Notes = append(d.Notes, notes...)
	return func(r drawRow) (colour.Reading, error) {
		var found []colour.Reading
		for _, s := range samples {
			if strings.EqualFold(s.Name, r.cell["sample"]) {
				found = append(found, s.Reading)
			}
		}
		if len(found) == 0 {
			return colour.Reading{}, r.fault("sample", "%s has no such sample; there are %s", file, reading.Names(samples))
		}
		m, err := reading.Average(found)
		return m.Reading, err
	}, nil
}

// withGloss says in the instrument's words what the geometry says of the gloss,
// so that nobody is told it is unknown.
func (d *File) withGloss(f *table.File) *table.File {
	geometry, ok := f.Key("geometry")
	if d.Keys["specular"] != "" || !ok || geometry.Value == "" {
		return f
	}
	said := "included"
	if word := geometryWord(geometry.Value); strings.Contains(word, "45") || strings.Contains(word, "de") {
		said = "excluded"
	}
	told := *f
	told.Keys = append(slices.Clone(f.Keys), table.Key{Name: "specular", Value: said, Line: geometry.Line})
	return &told
}

// geometryWord writes a geometry in one way: "45:0".
func geometryWord(text string) string {
	return strings.ToLower(strings.NewReplacer(" ", "", "°", "", "/", ":").Replace(text))
}

// figure reads an amount and its error.
func (r *drawRow) figure(i int, assumed map[string]bool) (f Figure, given bool, err error) {
	a := amounts[i]
	text := r.cell[a.value]
	if text == "" {
		return f, false, nil
	}
	if f.Value, err = strconv.ParseFloat(text, 64); err != nil || !(f.Value >= a.low && f.Value <= a.high) {
		return f, true, r.fault(a.value, "a number from %g to %g is accepted", a.low, a.high)
	}
	if r.cell[a.err] == "" {
		assumed[a.value] = true
		f.Err = a.usual * f.Value
		return f, true, nil
	}
	if f.Err, err = strconv.ParseFloat(r.cell[a.err], 64); err != nil || !(f.Err >= 0 && f.Err <= f.Value) || math.IsInf(f.Err, 0) {
		return f, true, r.fault(a.err, "a number from 0 to the %s itself is accepted", a.value)
	}
	return f, true, nil
}

// mass works out the areal mass of powder in the one way the row states it.
func (r *drawRow) mass(assumed map[string]bool) (m Mass, err error) {
	var f [7]Figure
	var given [7]bool
	for i := range amounts {
		if f[i], given[i], err = r.figure(i, assumed); err != nil {
			return m, err
		}
	}
	const load, powder, wholeFilm, wet, density, grams, area = 0, 1, 2, 3, 4, 5, 6
	ways := 0
	for _, way := range [4]bool{given[powder], given[wholeFilm], given[wet] || given[density], given[grams] || given[area]} {
		if way {
			ways++
		}
	}
	switch {
	case ways != 1:
		return m, fmt.Errorf("%s:%d: film %q: the amount is given in %d ways; one of powder_mg_cm2, film_mg_cm2, wet_um with density_g_cm3, or grams with area_cm2 is accepted", r.file, r.line, table.Clip(r.cell["film"]), ways)
	case given[wet] != given[density]:
		return m, r.fault("wet_um", "a wet thickness and a density_g_cm3 go together")
	case given[grams] != given[area]:
		return m, r.fault("grams", "grams and an area_cm2 go together")
	case !given[powder] && !given[load]:
		return m, r.fault("load_percent", "the %% w/w of powder in the wet film is needed")
	case given[powder]:
		m, err = FromMass(f[powder])
	case given[wholeFilm]:
		// As grams over the area that makes a milligram a square centimetre.
		m, err = FromGrams(f[wholeFilm], Figure{Value: 1000}, f[load])
	case given[wet]:
		m, err = FromThickness(f[wet], f[density], f[load])
	default:
		m, err = FromGrams(f[grams], f[area], f[load])
	}
	if err != nil {
		return m, fmt.Errorf("%s:%d: film %q: %w", r.file, r.line, table.Clip(r.cell["film"]), err)
	}
	return m, nil
}
