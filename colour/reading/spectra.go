package reading

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"tawny/colour"
	"tawny/colour/table"
)

// ambiguous is the value up to which a file without a stated scale is 0 to 1;
// a reading past 200 % is not expected from the instruments in use, and
// package colour draws the line in the same place.
const ambiguous = 2.0

// cell is one reflectance as read, before scaling, and where it stands.
type cell struct {
	nm, value float64
	row       table.Row
	column    int
}

// sampleSpectrum is a sample's reflectance; nil where it has none.
type sampleSpectrum struct {
	*colour.Spectrum
	bright error // see [colour.Reading]
}

// spectra reads every row's spectrum.
func (t *sampleTable) spectra(notes *Notes) ([]sampleSpectrum, error) {
	cells := make([][]cell, len(t.Rows))
	for i, r := range t.Rows {
		for k, c := range t.columns {
			at, nm := k, c.nm
			switch {
			case t.pair(k):
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
			cells[i] = append(cells[i], cell{nm, v, r, at})
		}
	}
	return t.resampled(cells, notes)
}

// resampled brings each sample's reflectances to fractions on the grid. The scale is judged over all of them, since a dark sample in per cent may
// stay under 2 by itself.
func (t *sampleTable) resampled(cells [][]cell, notes *Notes) ([]sampleSpectrum, error) {
	out := make([]sampleSpectrum, len(cells))
	all := slices.Concat(cells...)
	if len(all) == 0 {
		return out, nil
	}
	largest := slices.MaxFunc(all, func(a, b cell) int { return cmp.Compare(a.value, b.value) })
	factor, err := t.scale(largest.value, notes)
	if err != nil {
		return nil, err
	}
	if largest.value*factor > ambiguous {
		return nil, t.Fault(largest.row, largest.column, fmt.Sprintf("it is %g", largest.value), fmt.Sprintf("0 to %g", ambiguous/factor))
	}
	var nm, value []float64
	for i, sample := range cells {
		if len(sample) == 0 {
			continue
		}
		nm, value = nm[:0], value[:0]
		for _, c := range sample {
			nm, value = append(nm, c.nm), append(value, c.value)
			if c.value*factor >= 1 && out[i].bright == nil {
				out[i].bright = t.Fault(c.row, c.column, fmt.Sprintf("reflectance %g at %g nm", c.value, c.nm), fmt.Sprintf("more than 0 and less than %g", 1/factor))
			}
		}
		if fault, ok := errors.AsType[*colour.SampleError](colour.CheckSamples(nm, value)); ok {
			at := sample[fault.Index]
			return nil, t.Fault(at.row, at.column, fault.Error(), "")
		}
		for k := range value {
			value[k] *= factor
		}
		s, err := colour.Resample(nm, value)
		if err != nil {
			return nil, t.LineFault(sample[0].row.Line, "", err.Error(), "")
		}
		out[i].Spectrum = &s
	}
	return out, nil
}

// scale returns the factor that makes the values 0 to 1.
func (t *sampleTable) scale(largest float64, notes *Notes) (float64, error) {
	if said, ok := t.Key("scale"); ok && said.Value != "" {
		switch strings.ToLower(said.Value) {
		case "percent", "per cent", "%", "100":
			return 0.01, nil
		case "1", "unit", "0-1", "0–1":
			return 1, nil
		}
		return 0, t.KeyFault(said, fmt.Sprintf("it is %q", table.Clip(said.Value)), "percent or unit")
	}
	headers, percent := 0, 0
	for _, c := range t.columns {
		switch c.kind {
		case pairPct:
			return 0.01, nil
		case pairDec:
			return 1, nil
		case band:
			headers++
			if c.percent {
				percent++
			}
		}
	}
	switch {
	case percent > 0 && percent == headers:
		return 0.01, nil
	case largest > ambiguous:
		notes.add("%s states no scale; its largest value is %.4g, so it was taken to be in per cent ('# scale: percent')", t.Name, largest)
		return 0.01, nil
	}
	notes.add("%s states no scale; its largest value is %.4g, so it was taken to be 0 to 1 ('# scale: unit')", t.Name, largest)
	return 1, nil
}
