package reading

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"tawny/colour"
	"tawny/colour/table"
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
	nm := make([]float64, len(t.Rows))
	values := make([][]float64, len(heads)-1)
	for k := range values {
		values[k] = make([]float64, len(t.Rows))
	}
	lineOf := map[float64]int{}
	largest, largestAt := 0.0, table.Row{}
	for i, r := range t.Rows {
		for k := range heads {
			low, high := 0.0, 100*ambiguous // as spectra has it
			if k == 0 {
				low, high = 100, 5000 // nm
			}
			x, err := t.number(r, k, low, high)
			if err != nil {
				return nil, nil, err
			}
			if k == 0 {
				nm[i] = x
				continue
			}
			values[k-1][i] = x
			if x > largest {
				largest, largestAt = x, r
			}
		}
		if first, twice := lineOf[nm[i]]; twice {
			return nil, nil, t.Fault(r, 0, fmt.Sprintf("%g nm was already given on line %d", nm[i], first), "each wavelength once")
		}
		lineOf[nm[i]] = r.Line
	}
	for _, h := range heads[1:] {
		t.columns = append(t.columns, column{header: h, kind: band, percent: strings.Contains(h, "%") || strings.Contains(strings.ToLower(h), "percent")})
	}
	var notes Notes
	factor, err := t.scale(largest, [][]cell{{{}}}, &notes)
	if err != nil {
		return nil, nil, err
	}
	if largest*factor > ambiguous {
		return nil, nil, t.LineFault(largestAt.Line, "", fmt.Sprintf("the value %g does not go with the scale", largest), fmt.Sprintf("at most %g", ambiguous/factor))
	}
	base, err := t.conditions()
	if err != nil {
		return nil, nil, err
	}
	base.unsaid(t.Name, &notes)
	viewing := viewings{}.get(base, "D65")
	samples := make([]Sample, len(values))
	for k, v := range values {
		if fault, ok := errors.AsType[*colour.SampleError](colour.CheckSamples(nm, v)); ok {
			return nil, nil, t.Fault(t.Rows[fault.Index], k+1, fault.Error(), "")
		}
		for i := range v {
			v[i] *= factor
		}
		spectrum, err := colour.Resample(nm, v)
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", t.Name, err)
		}
		r := colour.Reading{
			Text: fmt.Sprintf("%s:%d", t.Name, t.HeaderLine), Viewing: viewing, Geometry: colour.Geometry(base.geometry),
			Spectrum: &spectrum, Lab: viewing.Lab(&spectrum),
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
