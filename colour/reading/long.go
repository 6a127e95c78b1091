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

// parseLong reads one sample from each column after the wavelength, each by
// [colour.ParseReflectance], with the scale judged over all of them together.
func parseLong(t *table, lines []string, header int, delimiter rune) ([]Sample, Notes, error) {
	heads, _ := splitLine(lines[header], delimiter)
	for len(heads) > 2 && heads[len(heads)-1] == "" {
		heads = heads[:len(heads)-1]
	}
	if len(heads) > MaxColumns {
		return nil, nil, t.fault(header+1, "%d columns; at most %d are accepted", len(heads), MaxColumns)
	}
	var wavelengths []string
	var values [][]string
	var at []int
	if len(lines) > MaxSamples {
		return nil, nil, fmt.Errorf("%s has more than %d lines; a file of wavelengths has one for each", t.file, MaxSamples)
	}
	largest, largestAt := 0.0, 0
	for i := header + 1; i < len(lines); i++ {
		trimmed := strings.TrimSpace(lines[i])
		if trimmed == "" {
			continue
		}
		if strings.HasPrefix(trimmed, "#") {
			t.keys.comment(trimmed, i+1)
			continue
		}
		cells, err := splitLine(lines[i], delimiter)
		if err != nil {
			return nil, nil, t.fault(i+1, "%v", err)
		}
		if allEmpty(cells) {
			continue
		}
		for len(cells) > len(heads) && cells[len(cells)-1] == "" {
			cells = cells[:len(cells)-1]
		}
		if len(cells) != len(heads) {
			return nil, nil, t.fault(i+1, "%d cells; the header on line %d has %d columns", len(cells), header+1, len(heads))
		}
		for k, c := range cells {
			x, err := number(c, t.decimalComma)
			if err != nil {
				return nil, nil, t.fault(i+1, "%s is %q; a number is accepted", heads[k], c)
			}
			if k > 0 && x > largest {
				largest, largestAt = x, i+1
			}
			if t.decimalComma {
				cells[k] = strings.Replace(c, ",", ".", 1)
			}
		}
		wavelengths = append(wavelengths, cells[0])
		values = append(values, cells[1:])
		at = append(at, i)
	}
	if len(values) == 0 {
		return nil, nil, t.fault(header+1, "no rows follow the header; one for each wavelength is accepted")
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
	head := "wavelength,value"
	if factor != 1 {
		head += "_percent"
	}
	viewing := viewings{}.get(base, "D65")
	samples := make([]Sample, len(heads)-1)
	var text strings.Builder
	for k := range samples {
		// Line for line as in the file, so that errors name its lines.
		text.Reset()
		text.WriteString(strings.Repeat("\n", header))
		text.WriteString(head)
		line := header
		for i, v := range values {
			text.WriteString(strings.Repeat("\n", at[i]-line))
			text.WriteString(wavelengths[i] + "," + v[k])
			line = at[i]
		}
		if text.Len() > colour.MaxFileBytes {
			return nil, nil, fmt.Errorf("%s is too long for a file of wavelengths; at most %d MB a sample is accepted", t.file, colour.MaxFileBytes>>20)
		}
		r, err := colour.ParseReflectance(t.file, strings.NewReader(text.String()))
		if err != nil {
			return nil, nil, err
		}
		r.Text = fmt.Sprintf("%s:%d", t.file, header+1)
		r.Viewing, r.Excluded = viewing, base.specular == "excluded"
		r.Lab = viewing.Lab(r.Spectrum)
		samples[k] = Sample{Name: t.longName(heads, k), Line: header + 1, Reading: r}
	}
	return samples, notes, nil
}

// longName is a column's header, or for a lone column of values the file's own
// name, since "reflectance" names nothing.
func (t *table) longName(heads []string, k int) string {
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
