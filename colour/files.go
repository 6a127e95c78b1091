package colour

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"tawny/colour/table"
)

// twoColumns is a file of wavelength (nm) and a value: a spectrum at 1 nm is
// under 10 kB, so a megabyte leaves room for comments.
var twoColumns = table.Kind{Late: true, MaxBytes: 1 << 20}

// curve is a two-column file as read.
type curve struct {
	*table.File
	x, y []float64
}

// ParseReflectance reads a CSV of wavelength (nm) and reflectance; name is used
// in errors. Values are 0 to 1, or per cent where a line '# scale: percent' or a
// header such as reflectance_percent says so; with neither, values past 2 are
// taken as per cent and the Note says it was detected. '# specular: excluded'
// marks a reading without gloss.
func ParseReflectance(name string, r io.Reader) (Reading, error) {
	t, err := readCurve(name, r)
	if err != nil {
		return Reading{}, err
	}
	var fault *SampleError
	if err := CheckSamples(t.x, t.y); errors.As(err, &fault) {
		return Reading{}, fmt.Errorf("%s:%d: %w", name, t.Rows[fault.Index].Line, fault)
	}
	scale, note, err := t.scale()
	if err != nil {
		return Reading{}, err
	}
	for i := range t.y {
		t.y[i] *= scale
		if t.y[i] < 0 || t.y[i] > 2 {
			return Reading{}, fmt.Errorf("%s:%d: reflectance is %g; 0 to 2 (0 to 200 per cent) is accepted", name, t.Rows[i].Line, t.y[i])
		}
	}
	s, err := Resample(t.x, t.y)
	if err != nil {
		return Reading{}, fmt.Errorf("%s: %w", name, err)
	}
	reading := Reading{Text: name, Viewing: D65, Lab: D65.Lab(&s), Spectrum: &s, Note: note}
	switch v := strings.ToLower(t.Value("specular")); v {
	case "", "included":
	case "excluded":
		reading.Excluded = true
	default:
		return Reading{}, fmt.Errorf("%s: specular is %q; included or excluded is accepted", name, v)
	}
	return reading, nil
}

func (t *curve) scale() (factor float64, note string, err error) {
	said := strings.ToLower(t.Value("scale"))
	header := strings.ToLower(t.Header[1])
	switch {
	case said == "percent" || said == "per cent" || said == "%" || said == "100":
		return 0.01, "", nil
	case said == "1" || said == "unit" || said == "0-1":
		return 1, "", nil
	case said != "":
		return 0, "", fmt.Errorf("%s: scale is %q; percent or unit is accepted", t.Name, said)
	case strings.Contains(header, "percent") || strings.Contains(header, "%"):
		return 0.01, "", nil
	}
	for _, y := range t.y {
		if y > 2 {
			return 0.01, "values pass 2, so the file was taken to be in per cent", nil
		}
	}
	return 1, "", nil
}

// ParseIlluminant reads a light from a CSV of wavelength (nm) and relative
// power. '# name: …' names it; name is used in errors.
func ParseIlluminant(name string, r io.Reader) (Illuminant, error) {
	t, err := readCurve(name, r)
	if err != nil {
		return Illuminant{}, err
	}
	title := t.Value("name")
	if title == "" {
		title = strings.TrimSuffix(filepath.Base(name), filepath.Ext(name))
	}
	l, err := NewIlluminant(title, t.x, t.y)
	if err != nil {
		return Illuminant{}, fmt.Errorf("%s: %w", name, err)
	}
	return l, nil
}

func readCurve(name string, r io.Reader) (*curve, error) {
	f, err := table.Read(name, r, twoColumns)
	if err != nil {
		return nil, err
	}
	if len(f.Header) != 2 || !strings.HasPrefix(strings.ToLower(f.Header[0]), "wavelength") {
		return nil, &table.Error{
			File: name, Line: f.HeaderLine, Field: "header", Problem: fmt.Sprintf("the columns are %s", table.Clip(strings.Join(f.Header, ","))),
			Accept: "two columns, wavelength and a value",
		}
	}
	c := &curve{File: f}
	seen := map[float64]int{}
	for _, row := range f.Rows {
		var v [2]float64
		for i, text := range row.Fields {
			if v[i], err = table.Finite(text); err != nil {
				return nil, f.Fault(row, i, fmt.Sprintf("%q", table.Clip(text)), "a finite number")
			}
		}
		if first, ok := seen[v[0]]; ok {
			return nil, f.Fault(row, 0, fmt.Sprintf("%g nm was already given on line %d", v[0], first), "each wavelength once")
		}
		seen[v[0]] = row.Line
		c.x, c.y = append(c.x, v[0]), append(c.y, v[1])
	}
	return c, nil
}
