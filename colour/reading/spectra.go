package reading

import (
	"strings"

	"tawny/colour"
	"tawny/colour/table"
)

// ambiguous is the value up to which a file without a stated scale is 0 to 1;
// a reading past 200 % is not expected from the instruments in use, and
// package colour draws the line in the same place.
const ambiguous = 2

// cell is one reflectance as read, before scaling.
type cell struct {
	nm, value float64
	header    string
}

// spectra reads every row's spectrum, nil where it has none. The scale is
// judged over the whole table, since a dark sample in per cent may stay under
// 2 by itself.
func (t *sampleTable) spectra(notes *Notes) ([]*colour.Spectrum, error) {
	cells := make([][]cell, len(t.rows))
	largest := 0.0
	for i, r := range t.rows {
		for k, c := range t.columns {
			at := k
			nm := c.nm
			switch {
			case c.kind == pairNM && k+1 < len(t.columns) && (t.columns[k+1].kind == pairPct || t.columns[k+1].kind == pairDec):
				w, err := table.Finite(r.cells[k])
				if err != nil || w < 200 || w > 2500 {
					return nil, t.fault(r.line, "%s is %q; a wavelength of 200 to 2500 nm is accepted", c.header, r.cells[k])
				}
				nm, at = w, k+1
			case c.kind != band:
				continue
			}
			if r.cells[at] == "" {
				continue // not measured there; Resample judges the gap
			}
			v, err := table.Finite(r.cells[at])
			if err != nil {
				return nil, t.fault(r.line, "%s is %q; a number is accepted", t.columns[at].header, r.cells[at])
			}
			largest = max(largest, v)
			cells[i] = append(cells[i], cell{nm, v, t.columns[at].header})
		}
	}
	factor, err := t.scale(largest, cells, notes)
	if err != nil {
		return nil, err
	}
	out := make([]*colour.Spectrum, len(t.rows))
	var nm, value []float64
	for i, r := range t.rows {
		if len(cells[i]) == 0 {
			continue
		}
		nm, value = nm[:0], value[:0]
		for _, c := range cells[i] {
			if c.value*factor < 0 || c.value*factor > ambiguous {
				return nil, t.fault(r.line, "%s is %g; %g to %g is accepted", c.header, c.value, 0.0, ambiguous/factor)
			}
			nm, value = append(nm, c.nm), append(value, c.value*factor)
		}
		s, err := colour.Resample(nm, value)
		if err != nil {
			return nil, t.fault(r.line, "%v", err)
		}
		out[i] = &s
	}
	return out, nil
}

// scale returns the factor that makes the values 0 to 1.
func (t *sampleTable) scale(largest float64, cells [][]cell, notes *Notes) (float64, error) {
	if said, ok := t.keys["scale"]; ok && said.value != "" {
		switch strings.ToLower(said.value) {
		case "percent", "per cent", "%", "100":
			return 0.01, nil
		case "1", "unit", "0-1", "0–1":
			return 1, nil
		}
		return 0, t.fault(said.line, "scale is %q; percent or unit is accepted", said.value)
	}
	headers, percent, any := 0, 0, false
	for i, c := range t.columns {
		switch c.kind {
		case pairPct:
			return 0.01, nil
		case pairDec:
			return 1, nil
		case band:
			headers++
			if t.columns[i].percent {
				percent++
			}
		}
	}
	for _, c := range cells {
		any = any || len(c) > 0
	}
	switch {
	case !any:
		return 1, nil
	case percent > 0 && percent == headers:
		return 0.01, nil
	case largest > ambiguous:
		notes.add("%s states no scale; its largest value is %.4g, so it was taken to be in per cent ('# scale: percent')", t.file, largest)
		return 0.01, nil
	}
	notes.add("%s states no scale; its largest value is %.4g, so it was taken to be 0 to 1 ('# scale: unit')", t.file, largest)
	return 1, nil
}
