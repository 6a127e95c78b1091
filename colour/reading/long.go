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

// parseLong reads one sample from each column after the wavelength, with the
// scale judged over all of them together.
func parseLong(t *sampleTable, f *table.File) ([]Sample, Notes, error) {
	heads := f.Header
	if len(heads) > MaxColumns {
		return nil, nil, t.fault(f.HeaderLine, "%d columns; at most %d are accepted", len(heads), MaxColumns)
	}
	nm := make([]float64, len(f.Rows))
	values := make([][]float64, len(heads)-1)
	for k := range values {
		values[k] = make([]float64, len(f.Rows))
	}
	lineOf := map[float64]int{}
	largest, largestAt := 0.0, 0
	for i, r := range f.Rows {
		for k, c := range r.Fields {
			x, err := table.Finite(c)
			if err != nil {
				return nil, nil, t.fault(r.Line, "%s is %q; a number is accepted", heads[k], c)
			}
			if k == 0 {
				nm[i] = x
				continue
			}
			values[k-1][i] = x
			if x > largest {
				largest, largestAt = x, r.Line
			}
		}
		if first, twice := lineOf[nm[i]]; twice {
			return nil, nil, t.fault(r.Line, "wavelength %g nm was already given on line %d", nm[i], first)
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
		return nil, nil, t.fault(largestAt, "the value %g is past %g; is the scale as stated?", largest, ambiguous/factor)
	}
	base, err := t.conditions()
	if err != nil {
		return nil, nil, err
	}
	if base.specular == "" {
		notes.add("%s does not say whether gloss was left out, so it was taken as included; '# specular: excluded' says otherwise", t.file)
	}
	viewing := viewings{}.get(base, "D65")
	samples := make([]Sample, len(values))
	for k, v := range values {
		if fault, ok := errors.AsType[*colour.SampleError](colour.CheckSamples(nm, v)); ok {
			return nil, nil, t.fault(f.Rows[fault.Index].Line, "%s: %v", heads[k+1], fault)
		}
		for i := range v {
			v[i] *= factor
		}
		spectrum, err := colour.Resample(nm, v)
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", t.file, err)
		}
		r := colour.Reading{
			Text: fmt.Sprintf("%s:%d", t.file, f.HeaderLine), Viewing: viewing, Excluded: base.specular == "excluded",
			Spectrum: &spectrum, Lab: viewing.Lab(&spectrum),
		}
		samples[k] = Sample{Name: t.longName(heads, k), Line: f.HeaderLine, Reading: r}
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
		if v := t.keys[key].value; v != "" {
			return v
		}
	}
	return strings.TrimSuffix(filepath.Base(t.file), filepath.Ext(t.file))
}
