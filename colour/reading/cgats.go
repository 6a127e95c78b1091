package reading

import (
	"fmt"
	"strconv"
	"strings"

	"tawny/colour"
	"tawny/colour/table"
)

// parseCGATS reads the text format of ISO 28178, which is that of ANSI
// CGATS.17: keyword lines, the names of the fields between BEGIN_DATA_FORMAT
// and END_DATA_FORMAT, the sets between BEGIN_DATA and END_DATA; quoted
// strings; '#' to the end of the line is a comment. A file may hold several
// tables; one without a format of its own uses the last. Tables without a
// colour (densities, ink values) are passed over and named in the notes.
func parseCGATS(file, text string) ([]Sample, Notes, error) {
	p := &cgats{file: file, keys: map[string]table.Key{}}
	n := 0
	for line := range strings.Lines(text) {
		n++
		if err := p.tokenise(line, n); err != nil {
			return nil, nil, p.fault(n, "%v", err)
		}
	}
	for w, ok := p.next(); ok; w, ok = p.next() {
		var err error
		switch w.text {
		case "BEGIN_DATA_FORMAT":
			err = p.format(w)
		case "BEGIN_DATA":
			err = p.data(w)
		case "END_DATA", "END_DATA_FORMAT":
			err = p.fault(w.line, "%s without its BEGIN", w.text)
		default:
			var words []string
			for len(p.words) > 0 && p.words[0].line == w.line {
				words = append(words, p.words[0].text)
				p.words = p.words[1:]
			}
			p.keyword(strings.ToLower(w.text), strings.Join(words, " "), w.line)
		}
		if err != nil {
			return nil, nil, err
		}
	}
	if len(p.samples) == 0 {
		return nil, nil, fmt.Errorf("%s holds no colour; SPECTRAL_nnn, SPEC_nnn or SPECTRAL_NMnnn fields, or LAB_L, LAB_A and LAB_B are accepted", file)
	}
	return p.samples, p.notes, nil
}

type cgats struct {
	file    string
	words   []cgatsWord // not read yet
	keys    map[string]table.Key
	tables  int
	columns []column
	samples []Sample
	notes   Notes
}

// cgatsWord is a word of a file, or a comment that stands on a line of its own.
type cgatsWord struct {
	text            string
	line            int
	quoted, comment bool
}

func (p *cgats) fault(line int, format string, args ...any) error {
	return &table.Error{File: p.file, Line: line, Problem: fmt.Sprintf(format, args...)}
}

func (p *cgats) set(key, value string, line int) {
	key = strings.ToLower(strings.TrimSpace(key))
	p.keys[key] = table.Key{Name: key, Value: strings.TrimSpace(value), Line: line}
}

// next takes the next word. What a comment says before it is kept, "# key: value"
// as in a CSV.
func (p *cgats) next() (w cgatsWord, ok bool) {
	for len(p.words) > 0 {
		w, p.words = p.words[0], p.words[1:]
		if !w.comment {
			return w, true
		}
		if key, value, ok := strings.Cut(w.text, ":"); ok {
			p.set(key, value, w.line)
		}
	}
	return w, false
}

// section takes the words up to its end.
func (p *cgats) section(begin cgatsWord, end string) (words []cgatsWord, err error) {
	for w, ok := p.next(); ok; w, ok = p.next() {
		if w.text == end && !w.quoted {
			return words, nil
		}
		words = append(words, w)
	}
	return nil, p.fault(begin.line, "%s has no %s after it; the file may be cut short", begin.text, end)
}

func (p *cgats) format(begin cgatsWord) error {
	words, err := p.section(begin, "END_DATA_FORMAT")
	if err != nil {
		return err
	}
	if len(words) == 0 {
		return p.fault(begin.line, "the data format names no fields")
	}
	p.columns = nil
	for _, w := range words {
		p.columns = append(p.columns, readHeader(w.text))
	}
	return p.table(begin.line, nil).check(begin.line)
}

func (p *cgats) table(line int, rows []table.Row) *sampleTable {
	f := &table.File{Name: p.file, HeaderLine: line, Rows: rows}
	for _, k := range p.keys {
		f.Keys = append(f.Keys, k)
	}
	for _, c := range p.columns {
		f.Header = append(f.Header, c.header)
	}
	// The format comes from graphic technology, where ISO 13655 computes L*a*b*
	// for D50 and the 2° observer.
	return &sampleTable{File: f, columns: p.columns, labDefault: "D50"}
}

func (p *cgats) data(begin cgatsWord) error {
	fields := len(p.columns)
	if fields == 0 {
		return p.fault(begin.line, "BEGIN_DATA comes before any BEGIN_DATA_FORMAT; the fields must be named first")
	}
	if err := p.count("number_of_fields", fields, "fields are named"); err != nil {
		return err
	}
	words, err := p.section(begin, "END_DATA")
	if err != nil {
		return err
	}
	var rows []table.Row
	for i, w := range words {
		if i%fields == 0 {
			// A set may be broken over lines, but none begins in the middle of one.
			if i > 0 && words[i-1].line == w.line {
				return p.fault(rows[len(rows)-1].Line, "this set has more than %d values; the format has %d fields", fields, fields)
			}
			rows = append(rows, table.Row{Line: w.line})
		}
		r := &rows[len(rows)-1]
		r.Fields = append(r.Fields, table.Point(w.text))
	}
	if over := len(words) % fields; over > 0 {
		return p.fault(rows[len(rows)-1].Line, "this set has %d values; the format has %d fields", over, fields)
	}
	if err := p.count("number_of_sets", len(rows), "sets follow"); err != nil {
		return err
	}
	p.tables++
	t := p.table(begin.line, rows)
	if !t.holdsColour() {
		p.notes.add("%s:%d: table %d holds neither a spectrum nor L*a*b* and was passed over", p.file, begin.line, p.tables)
		return nil
	}
	if len(p.samples)+len(rows) > MaxSamples {
		return p.fault(begin.line, "more than %d sets in all; split the file", MaxSamples)
	}
	samples, err := t.samples(&p.notes)
	p.samples = append(p.samples, samples...)
	return err
}

// count holds a NUMBER_OF_… keyword to what was found.
func (p *cgats) count(key string, found int, what string) error {
	said, ok := p.keys[key]
	if !ok {
		return nil
	}
	delete(p.keys, key) // it speaks of this table only
	want, err := strconv.Atoi(said.Value)
	if err != nil {
		return p.fault(said.Line, "%s is %q; a whole number is accepted", strings.ToUpper(key), said.Value)
	}
	if want != found {
		return p.fault(said.Line, "%s is %d but %d %s; the file may be cut short or edited", strings.ToUpper(key), want, found, what)
	}
	return nil
}

// keyword takes a header line, and carries those that state how the readings
// were made to the keys a CSV uses.
func (p *cgats) keyword(key, value string, n int) {
	switch key {
	case "illumination_name":
		key = "illuminant"
	case "observer_angle":
		key = "observer"
	case "measurement_geometry", "geometry":
		key = "geometry"
		if _, err := parseGeometry(value); err != nil {
			p.notes.add("%s:%d: geometry %q is not known here; %s is", p.file, n, value, colour.GeometryForms)
			return
		}
	case "spectral_norm", "scale":
		key = "scale"
		if x, err := table.Finite(value); err == nil {
			value = strconv.FormatFloat(x, 'g', -1, 64)
		}
	case "weighting_function", "measurement_source":
		// "ILLUMINANT, D50", "OBSERVER, 2 degree", "Illumination=D50 ObserverAngle=2°"
		for _, pair := range strings.Fields(strings.NewReplacer(", ", "=", ",", "=").Replace(value)) {
			k, v, _ := strings.Cut(pair, "=")
			of, what := byLight, "light"
			switch strings.ToLower(k) {
			case "illuminant", "illumination":
			case "observer", "observerangle":
				of, what = byObserver, "observer"
			default:
				continue
			}
			if said, err := stating[of].parse(v); err == nil {
				p.set(stating[of].key, said, n)
			} else {
				p.notes.add("%s:%d: %s %q is not known here", p.file, n, what, v)
			}
		}
		return
	}
	p.set(key, value, n)
}

// tokenise splits a line at blanks, keeps text in double quotes whole ("" inside is
// one quote), and drops a comment after them.
func (p *cgats) tokenise(line string, n int) error {
	const blanks = " \t\v\f\r\n"
	line = strings.TrimLeft(line, blanks)
	if comment := strings.TrimLeft(line, "# \t"); strings.HasPrefix(line, "#") {
		p.words = append(p.words, cgatsWord{text: comment, line: n, comment: true})
		return nil
	}
	for line != "" && line[0] != '#' {
		w := cgatsWord{line: n, quoted: line[0] == '"'}
		if w.quoted {
			for joint := ""; joint == "" || strings.HasPrefix(line, `"`); joint = `"` {
				part, rest, closed := strings.Cut(line[1:], `"`)
				if !closed {
					return fmt.Errorf("a quote opens and does not close on this line")
				}
				w.text, line = w.text+joint+part, rest
			}
		} else if end := strings.IndexAny(line, blanks); end >= 0 {
			w.text, line = line[:end], line[end:]
		} else {
			w.text, line = line, ""
		}
		p.words = append(p.words, w)
		line = strings.TrimLeft(line, blanks)
	}
	return nil
}
