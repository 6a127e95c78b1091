package reading

import (
	"fmt"
	"strings"

	"tawny/colour"
	"tawny/colour/table"
)

// ambiguous is the value up to which a file without a stated scale is 0 to 1;
// a reading past 200 % is not expected from the instruments in use, and
// package colour draws the line in the same place.
const ambiguous = 2.0

// cell is one reflectance as read, before scaling.
type cell struct {
	nm, value float64
	column    int
}

// spectra reads every row's spectrum, nil where it has none. The scale is
// judged over the whole table, since a dark sample in per cent may stay under
// 2 by itself.
func (t *sampleTable) spectra(notes *Notes) ([]*colour.Spectrum, error) {
	cells := make([][]cell, len(t.Rows))
	largest := 0.0
	for i, r := range t.Rows {
		for k, c := range t.columns {
			at := k
			nm := c.nm
			switch {
			case c.kind == pairNM && k+1 < len(t.columns) && (t.columns[k+1].kind == pairPct || t.columns[k+1].kind == pairDec):
				w, err := t.number(r, k, 200, 2500)
				if err != nil {
					return nil, err
				}
				nm, at = w, k+1
			case c.kind != band:
				continue
			}
			if r.Fields[at] == "" {
				continue // not measured there; Resample judges the gap
			}
			v, err := t.number(r, at, 0, 100*ambiguous)
			if err != nil {
				return nil, err
			}
			largest = max(largest, v)
			cells[i] = append(cells[i], cell{nm, v, at})
		}
	}
	factor, err := t.scale(largest, cells, notes)
	if err != nil {
		return nil, err
	}
	out := make([]*colour.Spectrum, len(t.Rows))
	var nm, value []float64
	for i, r := range t.Rows {
		if len(cells[i]) == 0 {
			continue
		}
		nm, value = nm[:0], value[:0]
		for _, c := range cells[i] {
			if c.value*factor > ambiguous {
				return nil, t.Fault(r, c.column, fmt.Sprintf("it is %g", c.value), fmt.Sprintf("0 to %g", ambiguous/factor))
			}
			nm, value = append(nm, c.nm), append(value, c.value*factor)
		}
		s, err := colour.Resample(nm, value)
		if err != nil {
			return nil, t.LineFault(r.Line, "", err.Error(), "")
		}
		out[i] = &s
	}
	return out, nil
}

// scale returns the factor that makes the values 0 to 1.
func (t *sampleTable) scale(largest float64, cells [][]cell, notes *Notes) (float64, error) {
	if said, ok := t.Key("scale"); ok && said.Value != "" {
		switch strings.ToLower(said.Value) {
		case "percent", "per cent", "%", "100":
			return 0.01, nil
		case "1", "unit", "0-1", "0–1":
			return 1, nil
		}
		return 0, t.KeyFault(said, fmt.Sprintf("it is %q", table.Clip(said.Value)), "percent or unit")
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
		notes.add("%s states no scale; its largest value is %.4g, so it was taken to be in per cent ('# scale: percent')", t.Name, largest)
		return 0.01, nil
	}
	notes.add("%s states no scale; its largest value is %.4g, so it was taken to be 0 to 1 ('# scale: unit')", t.Name, largest)
	return 1, nil
}
