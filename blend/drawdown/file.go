package drawdown

import (
	"bytes"
	"fmt"
	"sort"
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

	table *table.File
}

// keyFault is an error at a key line.
func (d *File) keyFault(name, problem, accept string) error {
	k, _ := d.table.Key(name)
	return d.table.KeyFault(k, problem, accept)
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
	d.table = f
	if err := d.header(); err != nil {
		return nil, err
	}
	read, err := d.colours(samples)
	if err != nil {
		return nil, err
	}
	assumed := map[string]bool{}
	for _, row := range f.Rows {
		r := drawRow{f, row}
		c, err := read(r)
		if err != nil {
			return nil, err
		}
		ground := strings.ToLower(r.cell("ground"))
		if ground == "" {
			return nil, r.fault("ground", "it is empty", "a name, such as black or white")
		}
		if strings.EqualFold(r.cell("film"), bareFilm) {
			d.Bare[ground] = append(d.Bare[ground], c)
			continue
		}
		if r.cell("film") == "" {
			return nil, r.fault("film", "it is empty", "a name for the film, or "+bareFilm+" for a reading of the ground itself")
		}
		m, err := r.mass(assumed)
		if err != nil {
			return nil, err
		}
		d.Films = append(d.Films, FilmRow{row.Line, r.cell("film"), ground, r.cell("lot"), m, c})
	}
	if len(d.Films) == 0 {
		return nil, f.LineFault(0, "", "it has no film", "one row a reading, and a row with film "+bareFilm+" for each ground")
	}
	for _, r := range d.Films {
		if d.Bare[r.Ground] == nil {
			return nil, f.LineFault(r.Line, "ground", fmt.Sprintf("nothing tells what %q looks like by itself", table.Clip(r.Ground)), "a row with film "+bareFilm+" and ground "+r.Ground)
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

// drawRow is one row of the file.
type drawRow struct {
	file *table.File
	row  table.Row
}

func (r drawRow) cell(column string) string { return r.file.Cell(r.row, column) }

func (r drawRow) fault(column, problem, accept string) error {
	return r.file.LineFault(r.row.Line, column, problem, accept)
}

// header takes the keys and checks the columns.
func (d *File) header() error {
	f := d.table
	for _, k := range f.Keys {
		d.Keys[k.Name] = k.Value
	}
	seen := map[string]bool{}
	for _, c := range f.Header {
		c = strings.ToLower(c)
		if c != "" && seen[c] {
			return f.LineFault(f.HeaderLine, "header", fmt.Sprintf("the column %q stands there twice", table.Clip(c)), "each column once")
		}
		seen[c] = true
	}
	if !seen["film"] || !seen["ground"] {
		return f.LineFault(f.HeaderLine, "header", "the column film or ground is missing", "the columns film and ground; then powder_mg_cm2, or load_percent with film_mg_cm2, with wet_um and density_g_cm3, or with grams and area_cm2; and the colour as R380, R390 …, as L, a, b, or as sample")
	}
	return nil
}

// colours returns how to find a row's colour: in the row itself, or by its
// sample in the instrument file that '# readings:' names.
func (d *File) colours(open func(string) ([]reading.Sample, reading.Notes, error)) (func(drawRow) (colour.Reading, error), error) {
	file := d.Keys["readings"]
	if file == "" {
		samples, notes, err := reading.FromTable(d.table)
		if err != nil {
			return nil, err
		}
		d.Notes = append(d.Notes, notes...)
		byLine := map[int]colour.Reading{}
		for _, s := range samples {
			byLine[s.Line] = s.Reading
		}
		return func(r drawRow) (colour.Reading, error) {
			return byLine[r.row.Line], nil
		}, nil
	}
	if strings.ContainsAny(file, `/\`) || strings.Contains(file, "..") {
		return nil, d.keyFault("readings", fmt.Sprintf("it is %q", table.Clip(file)), "the name of a file beside this one")
	}
	samples, notes, err := open(file)
	if err != nil {
		return nil, d.keyFault("readings", err.Error(), "")
	}
	own, err := reading.GeometryOf(d.table)
	if err != nil {
		return nil, err
	}
	if own != "" {
		notes = notes.Told()
	}
	d.Notes = append(d.Notes, notes...)
	return func(r drawRow) (colour.Reading, error) {
		var found []colour.Reading
		for _, s := range samples {
			if strings.EqualFold(s.Name, r.cell("sample")) {
				found = append(found, s.Reading)
			}
		}
		if len(found) == 0 {
			return colour.Reading{}, r.fault("sample", fmt.Sprintf("%s has no sample %q", file, table.Clip(r.cell("sample"))), reading.Names(samples))
		}
		m, err := reading.Average(found)
		switch {
		case err != nil:
			return m.Reading, r.fault("sample", err.Error(), "")
		case m.Geometry == "":
			m.Geometry = own
		case own != "" && own != m.Geometry:
			return m.Reading, d.keyFault("geometry", fmt.Sprintf("here: %s; in %s: %s", own.Words(), file, m.Geometry.Words()), "what the instrument's file says, or nothing")
		}
		return m.Reading, nil
	}, nil
}

// figure reads an amount and its error.
func (r drawRow) figure(i int, assumed map[string]bool) (f Figure, given bool, err error) {
	a := amounts[i]
	text := r.cell(a.value)
	if text == "" {
		return f, false, nil
	}
	number := func(column string, low, high float64) (float64, error) {
		x, err := table.Number(r.cell(column), low, high)
		if err != nil {
			return 0, r.fault(column, err.Error(), fmt.Sprintf("a number from %g to %g", low, high))
		}
		return x, nil
	}
	if f.Value, err = number(a.value, a.low, a.high); err != nil {
		return f, true, err
	}
	if r.cell(a.err) == "" {
		assumed[a.value] = true
		f.Err = a.usual * f.Value
		return f, true, nil
	}
	f.Err, err = number(a.err, 0, f.Value)
	return f, true, err
}

// mass works out the areal mass of powder in the one way the row states it.
func (r drawRow) mass(assumed map[string]bool) (m Mass, err error) {
	var f [7]Figure
	var given [7]bool
	for i := range amounts {
		if f[i], given[i], err = r.figure(i, assumed); err != nil {
			return m, err
		}
	}
	const load, powder, wholeFilm, wet, density, grams, area = 0, 1, 2, 3, 4, 5, 6
	one, ways := Figure{Value: 1}, 0
	for _, way := range [4]bool{given[powder], given[wholeFilm], given[wet] || given[density], given[grams] || given[area]} {
		if way {
			ways++
		}
	}
	switch {
	case ways != 1:
		return m, r.fault("", fmt.Sprintf("the amount of film %q is given in %d ways", table.Clip(r.cell("film")), ways), "one of powder_mg_cm2, film_mg_cm2, wet_um with density_g_cm3, or grams with area_cm2")
	case given[wet] != given[density]:
		return m, r.fault("wet_um", "one of two is given", "a wet thickness and a density_g_cm3 together")
	case given[grams] != given[area]:
		return m, r.fault("grams", "one of two is given", "grams and an area_cm2 together")
	case !given[powder] && !given[load]:
		return m, r.fault("load_percent", "it is empty", "the % w/w of powder in the wet film")
	case given[powder]:
		return massOf(1, one, f[powder]), nil
	case given[wholeFilm]:
		return massOf(1./100, one, f[wholeFilm], f[load]), nil
	case given[wet]:
		return massOf(0.1/100, one, f[wet], f[density], f[load]), nil
	}
	return massOf(1000./100, f[area], f[grams], f[load]), nil
}
