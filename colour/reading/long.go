package reading

import (
	"fmt"
	"path/filepath"
	"strings"

	"tawny/colour"
)

// isLong tells a file with a wavelength in each row, and a sample in each
// further column, by its first header.
func isLong(header []string) bool {
	if len(header) < 2 {
		return false
	}
	switch squeeze(strings.Trim(strings.ToLower(header[0]), "()[] ")) {
	case "wavelength", "wavelength(nm", "wavelength[nm", "wavelengthnm", "nm", "wl", "lambda", "λ":
		return true
	}
	return false
}

// long reads one sample from each column after the wavelength, with the scale
// judged over all of them together.
func (t *sampleTable) long() ([]Sample, Notes, error) {
	heads := t.Header
	if len(heads) > MaxColumns {
		return nil, nil, t.LineFault(t.HeaderLine, "", fmt.Sprintf("%d columns", len(heads)), fmt.Sprintf("at most %d", MaxColumns))
	}
	cells := make([][]cell, len(heads)-1)
	lineOf := map[float64]int{}
	for _, r := range t.Rows {
		nm, err := t.number(r, 0, 100, 5000)
		if err != nil {
			return nil, nil, err
		}
		if first, twice := lineOf[nm]; twice {
			return nil, nil, t.Fault(r, 0, fmt.Sprintf("%g nm was already given on line %d", nm, first), "each wavelength once")
		}
		lineOf[nm] = r.Line
		for k := range cells {
			x, err := t.number(r, k+1, 0, 100*ambiguous)
			if err != nil {
				return nil, nil, err
			}
			cells[k] = append(cells[k], cell{nm, x, r, k + 1})
		}
	}
	for _, h := range heads[1:] {
		t.columns = append(t.columns, column{header: h, kind: band, percent: strings.Contains(h, "%") || strings.Contains(strings.ToLower(h), "percent")})
	}
	var notes Notes
	spectra, err := t.resampled(cells, &notes)
	if err != nil {
		return nil, nil, err
	}
	base, err := t.conditions()
	if err != nil {
		return nil, nil, err
	}
	base.unsaid(t.Name, &notes)
	viewing := viewings{}.get(base, "D65")
	samples := make([]Sample, len(spectra))
	for k, s := range spectra {
		r := colour.Reading{
			Text: fmt.Sprintf("%s:%d", t.Name, t.HeaderLine), Viewing: viewing, Geometry: base.geometry(),
			Spectrum: s.Spectrum, Bright: s.bright, Lab: viewing.Lab(s.Spectrum),
		}
		samples[k] = Sample{Name: t.longName(heads, k), Line: t.HeaderLine, Reading: r}
	}
	return samples, notes, nil
}

// longName is a column's header, or for a lone column of values the file's own
// name, since "reflectance" names nothing.
func (t *sampleTable) longName(heads []string, k int) string {
	if len(heads) > 2 {
		if h := heads[k+1]; h != "" {
			return h
		}
		return fmt.Sprintf("sample %d", k+1)
	}
	for _, key := range []string{"name", "sample"} {
		if v := t.Value(key); v != "" {
			return v
		}
	}
	return strings.TrimSuffix(filepath.Base(t.Name), filepath.Ext(t.Name))
}
