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
func parseCGATS(file string, lines []string) ([]Sample, Notes, error) {
	p := &cgats{file: file, keys: map[string]table.Key{}}
	for i, line := range lines {
		if err := p.line(line, i+1); err != nil {
			return nil, nil, err
		}
	}
	switch p.state {
	case inFormat:
		return nil, nil, p.fault(p.opened, "BEGIN_DATA_FORMAT has no END_DATA_FORMAT after it")
	case inData:
		return nil, nil, p.fault(p.opened, "BEGIN_DATA has no END_DATA after it; the file may be cut short")
	}
	if len(p.samples) == 0 {
		return nil, nil, fmt.Errorf("%s holds no colour; SPECTRAL_nnn, SPEC_nnn or SPECTRAL_NMnnn fields, or LAB_L, LAB_A and LAB_B are accepted", file)
	}
	return p.samples, p.notes, nil
}

type cgatsState int

const (
	inHeader cgatsState = iota
	inFormat
	inData
)

type cgats struct {
	file    string
	keys    map[string]table.Key
	state   cgatsState
	opened  int // line of the BEGIN
	tables  int
	columns []column
	rows    []table.Row
	part    []string // a set not yet complete
	partAt  int
	samples []Sample
	notes   Notes
}

func (p *cgats) fault(line int, format string, args ...any) error {
	return &table.Error{File: p.file, Line: line, Problem: fmt.Sprintf(format, args...)}
}

func (p *cgats) set(key, value string, line int) {
	key = strings.ToLower(strings.TrimSpace(key))
	p.keys[key] = table.Key{Name: key, Value: strings.TrimSpace(value), Line: line}
}

func (p *cgats) line(line string, n int) error {
	if trimmed := strings.TrimSpace(line); strings.HasPrefix(trimmed, "#") {
		if key, value, ok := strings.Cut(strings.TrimLeft(trimmed, "# \t"), ":"); ok {
			p.set(key, value, n)
		}
		return nil
	}
	tokens, err := tokenise(line)
	if err != nil {
		return p.fault(n, "%v", err)
	}
	for i := 0; i < len(tokens); i++ {
		word := tokens[i]
		switch p.state {
		case inHeader:
			switch word.text {
			case "BEGIN_DATA_FORMAT":
				p.state, p.opened, p.columns = inFormat, n, nil
			case "BEGIN_DATA":
				if len(p.columns) == 0 {
					return p.fault(n, "BEGIN_DATA comes before any BEGIN_DATA_FORMAT; the fields must be named first")
				}
				if err := p.count("number_of_fields", len(p.columns), "fields are named"); err != nil {
					return err
				}
				p.state, p.opened, p.rows = inData, n, nil
			case "END_DATA", "END_DATA_FORMAT":
				return p.fault(n, "%s without its BEGIN", word.text)
			default:
				p.keyword(tokens[i:], n)
				return nil
			}
		case inFormat:
			if word.text == "END_DATA_FORMAT" && !word.quoted {
				if err := p.endFormat(); err != nil {
					return err
				}
				continue
			}
			if len(p.columns) >= MaxColumns {
				return p.fault(n, "more than %d fields", MaxColumns)
			}
			p.columns = append(p.columns, cgatsColumn(word.text))
		case inData:
			if word.text == "END_DATA" && !word.quoted {
				if err := p.endData(n); err != nil {
					return err
				}
				continue
			}
			if len(p.part) == len(p.columns) {
				return p.fault(p.partAt, "this set has more than %d values; the format has %d fields", len(p.columns), len(p.columns))
			}
			if len(p.part) == 0 {
				p.partAt = n
			}
			p.part = append(p.part, table.Point(word.text))
		}
	}
	// A set may be broken over lines, but none begins in the middle of one.
	if p.state == inData && len(p.part) == len(p.columns) {
		p.rows = append(p.rows, table.Row{Line: p.partAt, Fields: p.part})
		p.part = nil
		if len(p.rows) > MaxSamples {
			return p.fault(n, "more than %d sets; split the file", MaxSamples)
		}
	}
	return nil
}

func (p *cgats) endFormat() error {
	p.state = inHeader
	if len(p.columns) == 0 {
		return p.fault(p.opened, "the data format names no fields")
	}
	return p.table().check(p.opened)
}

// table is the table as far as it has been read.
func (p *cgats) table() *sampleTable {
	f := &table.File{Name: p.file, HeaderLine: p.opened, Rows: p.rows}
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

func (p *cgats) endData(n int) error {
	p.state = inHeader
	// END_DATA may share the last set's line.
	if len(p.part) > 0 && len(p.part) == len(p.columns) {
		p.rows = append(p.rows, table.Row{Line: p.partAt, Fields: p.part})
		p.part = nil
	}
	if len(p.part) > 0 {
		return p.fault(p.partAt, "this set has %d values; the format has %d fields", len(p.part), len(p.columns))
	}
	if err := p.count("number_of_sets", len(p.rows), "sets follow"); err != nil {
		return err
	}
	p.tables++
	t := p.table()
	if !t.holdsColour() {
		p.notes.add("%s:%d: table %d holds neither a spectrum nor L*a*b* and was passed over", p.file, p.opened, p.tables)
		return nil
	}
	if len(p.samples)+len(p.rows) > MaxSamples {
		return p.fault(n, "more than %d sets in all; split the file", MaxSamples)
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
func (p *cgats) keyword(tokens []token, n int) {
	words := make([]string, 0, len(tokens)-1)
	for _, t := range tokens[1:] {
		words = append(words, t.text)
	}
	value := strings.Join(words, " ")
	key := strings.ToLower(tokens[0].text)
	switch key {
	case "illumination_name", "illuminant":
		p.set("illuminant", value, n)
	case "observer_angle", "observer":
		p.set("observer", value, n)
	case "measurement_geometry", "geometry":
		if _, err := parseGeometry(value); err == nil {
			p.set("geometry", value, n)
		} else {
			p.notes.add("%s:%d: geometry %q is not known here; %s is", p.file, n, value, colour.GeometryForms)
		}
	case "spectral_norm", "scale":
		if x, err := table.Finite(value); err == nil {
			value = strconv.FormatFloat(x, 'g', -1, 64)
		}
		p.set("scale", value, n)
	case "weighting_function", "measurement_source":
		// "ILLUMINANT, D50", "OBSERVER, 2 degree", "Illumination=D50 ObserverAngle=2°"
		for _, pair := range strings.Fields(strings.NewReplacer(", ", "=", ",", "=").Replace(value)) {
			k, v, _ := strings.Cut(pair, "=")
			switch strings.ToLower(k) {
			case "illuminant", "illumination":
				if name, err := parseIlluminant(v); err == nil {
					p.set("illuminant", name, n)
				} else {
					p.notes.add("%s:%d: light %q is not known here", p.file, n, v)
				}
			case "observer", "observerangle":
				if o, err := parseObserver(v); err == nil {
					p.set("observer", o, n)
				} else {
					p.notes.add("%s:%d: observer %q is not known here", p.file, n, v)
				}
			}
		}
	default:
		p.set(key, value, n)
	}
}

// cgatsColumn reads a field name. The names of the standard come first; the
// rest is what a CSV header may say.
func cgatsColumn(field string) column {
	c := column{header: field}
	switch strings.ToUpper(field) {
	case "SPECTRAL_NM":
		c.kind = pairNM
	case "SPECTRAL_PCT":
		c.kind = pairPct
	case "SPECTRAL_DEC":
		c.kind = pairDec
	case "SAMPLE_NAME":
		c.kind = name
	case "SAMPLE_ID":
		c.kind = id
	case "LAB_L":
		c.kind = labL
	case "LAB_A":
		c.kind = labA
	case "LAB_B":
		c.kind = labB
	default:
		if got := readHeader(field); got.kind == band || got.kind >= gloss || got.kind == name || got.kind == id {
			return got
		}
	}
	return c
}

type token struct {
	text   string
	quoted bool
}

// tokenise splits at blanks, keeps text in double quotes whole ("" inside is
// one quote), and drops a comment.
func tokenise(line string) (tokens []token, err error) {
	for {
		line = strings.TrimLeft(line, " \t\v\f")
		switch {
		case line == "" || line[0] == '#':
			return tokens, nil
		case line[0] == '"':
			var text strings.Builder
			rest := line[1:]
			for {
				end := strings.IndexByte(rest, '"')
				if end < 0 {
					return nil, fmt.Errorf("a quote opens and does not close on this line")
				}
				text.WriteString(rest[:end])
				rest = rest[end+1:]
				if !strings.HasPrefix(rest, `"`) {
					break
				}
				text.WriteByte('"')
				rest = rest[1:]
			}
			tokens = append(tokens, token{text.String(), true})
			line = rest
		default:
			end := strings.IndexAny(line, " \t\v\f")
			if end < 0 {
				end = len(line)
			}
			tokens = append(tokens, token{line[:end], false})
			line = line[end:]
		}
	}
}
