package reading

import (
	"fmt"
	"strings"

	"tawny/colour"
	"tawny/colour/table"
)

// sampleTable is a file, or one table of it, with a sample in each row.
type sampleTable struct {
	*table.File
	columns    []column
	labDefault string // viewing of L*a*b* where nothing states it
}

// holdsColour says whether the columns give a spectrum or L*a*b*.
func (t *sampleTable) holdsColour() bool {
	bands, pairs := 0, 0
	for i, c := range t.columns {
		if c.kind == band {
			bands++
		}
		if t.pair(i) {
			pairs++
		}
	}
	return bands >= 2 || pairs >= 2 || len(t.labSets()) > 0
}

// pair tells a column of wavelengths with the values at them in the next.
func (t *sampleTable) pair(i int) bool {
	return t.columns[i].kind == pairNM && i+1 < len(t.columns) && (t.columns[i+1].kind == pairPct || t.columns[i+1].kind == pairDec)
}

// labSets returns the columns of each complete L*, a*, b*, in file order.
// Columns belong together by the viewing in their brackets.
func (t *sampleTable) labSets() (sets [][3]int) {
	var order []string
	found := map[string]*[3]int{}
	for i, c := range t.columns {
		if c.kind < labL || c.kind > labB {
			continue
		}
		set := found[c.viewing]
		if set == nil {
			set = &[3]int{-1, -1, -1}
			found[c.viewing] = set
			order = append(order, c.viewing)
		}
		if set[c.kind-labL] < 0 {
			set[c.kind-labL] = i
		}
	}
	for _, v := range order {
		if s := found[v]; s[0] >= 0 && s[1] >= 0 && s[2] >= 0 {
			sets = append(sets, *s)
		}
	}
	return sets
}

// check refuses headers that say one thing twice.
func (t *sampleTable) check(line int) error {
	if len(t.columns) > MaxColumns {
		return t.LineFault(line, "", fmt.Sprintf("%d columns", len(t.columns)), fmt.Sprintf("at most %d", MaxColumns))
	}
	seen := map[string]string{}
	for _, c := range t.columns {
		var key string
		switch c.kind {
		case band:
			key = fmt.Sprintf("%g nm", c.nm)
		case labL, labA, labB:
			key = fmt.Sprintf("column %c %s", "Lab"[c.kind-labL], c.viewing)
		case geometry, gloss, light, eye:
			key = c.header
		default:
			continue
		}
		if first, twice := seen[key]; twice {
			return t.LineFault(line, "", fmt.Sprintf("columns %q and %q are both %s", first, c.header, strings.TrimSpace(key)), "each once")
		}
		seen[key] = c.header
	}
	return nil
}

// samples turns the rows into readings.
func (t *sampleTable) samples(notes *Notes) ([]Sample, error) {
	if len(t.Rows) > MaxSamples {
		return nil, t.LineFault(t.Rows[MaxSamples].Line, "", "too many samples", fmt.Sprintf("a file of at most %d", MaxSamples))
	}
	base, err := t.conditions()
	if err != nil {
		return nil, err
	}
	spectra, err := t.spectra(notes)
	if err != nil {
		return nil, err
	}
	sets := t.labSets()
	if len(sets) > 1 {
		notes.add("%s gives L*a*b* %d times; columns %q, %q, %q are used", t.Name, len(sets),
			t.columns[sets[0][0]].header, t.columns[sets[0][1]].header, t.columns[sets[0][2]].header)
	}
	if len(sets) > 0 {
		if err := base.bracket(t.columns[sets[0][0]].viewing, t.Name, notes); err != nil {
			return nil, err
		}
	}
	cache := viewings{}
	samples := make([]Sample, len(t.Rows))
	for i, r := range t.Rows {
		s := &samples[i]
		s.Line = r.Line
		c := base
		t.describe(s, r, i)
		if err := t.override(&c, r); err != nil {
			return nil, err
		}
		c.unsaid(t.Name, notes)
		s.Geometry = c.geometry()
		s.Spectrum, s.Bright = spectra[i].Spectrum, spectra[i].bright
		var lab *colour.Lab
		if len(sets) > 0 {
			if lab, err = t.lab(r, sets[0]); err != nil {
				return nil, err
			}
		}
		switch {
		case s.Spectrum != nil:
			s.Viewing = cache.get(c, "D65")
			s.Lab = s.Viewing.Lab(s.Spectrum)
			if lab != nil && c.stated() {
				t.compare(s, *lab, notes)
			}
		case lab != nil:
			if c[byLight] == "" && t.labDefault != "D65" {
				notes.add("%s does not say the light of its L*a*b*; %s/2, usual in this format, was assumed", t.Name, t.labDefault)
			}
			s.Viewing = cache.get(c, t.labDefault)
			s.Lab = *lab
			if lab.L > 100 {
				notes.add("%s:%d: L* is %g, past the white tile, as shimmer can be", t.Name, r.Line, lab.L)
			}
		default:
			return nil, t.LineFault(r.Line, s.Name, "it has neither a spectrum nor L*, a*, b*", "one of them")
		}
		s.Text = fmt.Sprintf("%s:%d", t.Name, r.Line)
	}
	return samples, nil
}

// describe sets the sample's name and the columns kept beside it.
func (t *sampleTable) describe(s *Sample, r table.Row, index int) {
	nameAt, idAt := -1, -1
	for i, c := range t.columns {
		switch {
		case c.kind == name && nameAt < 0 && r.Fields[i] != "":
			nameAt = i
		case c.kind == id && idAt < 0 && r.Fields[i] != "":
			idAt = i
		}
	}
	if nameAt < 0 {
		nameAt = idAt
	}
	s.Name = fmt.Sprintf("sample %d", index+1)
	if nameAt >= 0 {
		s.Name = r.Fields[nameAt]
	}
	for i, c := range t.columns {
		if c.kind > id || i == nameAt || r.Fields[i] == "" || c.header == "" {
			continue
		}
		if s.Other == nil {
			s.Other = map[string]string{}
		}
		if _, have := s.Other[c.header]; !have {
			s.Other[c.header] = r.Fields[i]
		}
	}
}

// number reads a cell that holds a number from low to high.
func (t *sampleTable) number(r table.Row, column int, low, high float64) (float64, error) {
	x, err := table.Number(r.Fields[column], low, high)
	if err != nil {
		return 0, t.Fault(r, column, err.Error(), fmt.Sprintf("a number from %g to %g", low, high))
	}
	return x, nil
}

// lab reads L*, a*, b*, or nil where all three cells are empty.
func (t *sampleTable) lab(r table.Row, at [3]int) (*colour.Lab, error) {
	if r.Fields[at[0]] == "" && r.Fields[at[1]] == "" && r.Fields[at[2]] == "" {
		return nil, nil
	}
	var v [3]float64
	for i, k := range at {
		// Past 100, L* is a lit flake seen near the mirror angle; past twice
		// the white it is a slip.
		low, high := -150.0, 150.0
		if i == 0 {
			low, high = 0, 200
		}
		x, err := t.number(r, k, low, high)
		if err != nil {
			return nil, err
		}
		v[i] = x
	}
	return &colour.Lab{L: v[0], A: v[1], B: v[2]}, nil
}

// compare warns where the file's own L*a*b* and its spectrum disagree, which
// mostly means a wrong scale or a wrong light.
func (t *sampleTable) compare(s *Sample, stated colour.Lab, notes *Notes) {
	const most = 1.0 // ΔE00: rounding and weighting tables differ by under 0.3
	if d := colour.DeltaE00(stated, s.Lab); d > most {
		notes.add("%s:%d: the spectrum gives L*a*b* %.1f, %.1f, %.1f but the file says %.1f, %.1f, %.1f (ΔE00 %.1f); the spectrum is used",
			t.Name, s.Line, s.Lab.L, s.Lab.A, s.Lab.B, stated.L, stated.A, stated.B, d)
	}
}
