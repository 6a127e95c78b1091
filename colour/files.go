package colour

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"strings"
)

// MaxFileBytes is the largest two-column file that is read: a spectrum at
// 1 nm is under 10 kB, so a megabyte leaves room for comments.
const MaxFileBytes = 1 << 20

// table2 is a two-column file as read: '# key: value' lines, one header, rows.
type table2 struct {
	name   string
	keys   map[string]string
	header [2]string
	line   []int // of each row
	x, y   []float64
}

// ParseReflectance reads a CSV of wavelength (nm) and reflectance; name is used
// in errors. Values are 0 to 1, or per cent where a line '# scale: percent' or a
// header such as reflectance_percent says so; with neither, values past 2 are
// taken as per cent and the Note says it was detected. '# specular: excluded'
// marks a reading without gloss.
func ParseReflectance(name string, r io.Reader) (Reading, error) {
	t, err := readTable2(name, r)
	if err != nil {
		return Reading{}, err
	}
	var fault *SampleError
	if err := CheckSamples(t.x, t.y); errors.As(err, &fault) {
		return Reading{}, fmt.Errorf("%s:%d: %w", name, t.line[fault.Index], fault)
	}
	scale, note, err := t.scale()
	if err != nil {
		return Reading{}, err
	}
	for i := range t.y {
		t.y[i] *= scale
		if t.y[i] < 0 || t.y[i] > 2 {
			return Reading{}, fmt.Errorf("%s:%d: reflectance is %g; 0 to 2 (0 to 200 per cent) is accepted", name, t.line[i], t.y[i])
		}
	}
	s, err := Resample(t.x, t.y)
	if err != nil {
		return Reading{}, fmt.Errorf("%s: %w", name, err)
	}
	reading := Reading{Text: name, Viewing: D65, Lab: D65.Lab(&s), Spectrum: &s, Note: note}
	switch v := strings.ToLower(t.keys["specular"]); v {
	case "", "included":
	case "excluded":
		reading.Excluded = true
	default:
		return Reading{}, fmt.Errorf("%s: specular is %q; included or excluded is accepted", name, v)
	}
	return reading, nil
}

func (t *table2) scale() (factor float64, note string, err error) {
	said := strings.ToLower(t.keys["scale"])
	header := strings.ToLower(t.header[1])
	switch {
	case said == "percent" || said == "per cent" || said == "%" || said == "100":
		return 0.01, "", nil
	case said == "1" || said == "unit" || said == "0-1":
		return 1, "", nil
	case said != "":
		return 0, "", fmt.Errorf("%s: scale is %q; percent or unit is accepted", t.name, said)
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
	t, err := readTable2(name, r)
	if err != nil {
		return Illuminant{}, err
	}
	title := t.keys["name"]
	if title == "" {
		title = strings.TrimSuffix(filepath.Base(name), filepath.Ext(name))
	}
	l, err := NewIlluminant(title, t.x, t.y)
	if err != nil {
		return Illuminant{}, fmt.Errorf("%s: %w", name, err)
	}
	return l, nil
}

func readTable2(name string, r io.Reader) (*table2, error) {
	t := &table2{name: name, keys: map[string]string{}}
	limited := &io.LimitedReader{R: r, N: MaxFileBytes + 1}
	scan := bufio.NewScanner(limited)
	seen := map[float64]int{}
	for n := 1; scan.Scan(); n++ {
		line := strings.TrimSpace(strings.TrimPrefix(scan.Text(), "\ufeff"))
		if line == "" {
			continue
		}
		if rest, ok := strings.CutPrefix(line, "#"); ok {
			if k, v, ok := strings.Cut(rest, ":"); ok {
				t.keys[strings.ToLower(strings.TrimSpace(k))] = strings.TrimSpace(v)
			}
			continue
		}
		fields := strings.Split(line, ",")
		if len(fields) != 2 {
			return nil, fmt.Errorf("%s:%d: %d columns; two, wavelength and value, are accepted", name, n, len(fields))
		}
		if t.header[0] == "" {
			t.header = [2]string{strings.TrimSpace(fields[0]), strings.TrimSpace(fields[1])}
			if !strings.HasPrefix(strings.ToLower(t.header[0]), "wavelength") {
				return nil, fmt.Errorf("%s:%d: the header's first column is %q; wavelength is accepted", name, n, t.header[0])
			}
			continue
		}
		var v [2]float64
		for i, f := range fields {
			x, err := parseNumber(f)
			if err != nil {
				return nil, fmt.Errorf("%s:%d: %s is %q; a finite number is accepted", name, n, t.header[i], strings.TrimSpace(f))
			}
			v[i] = x
		}
		if first, ok := seen[v[0]]; ok {
			return nil, fmt.Errorf("%s:%d: wavelength %g nm was already given on line %d", name, n, v[0], first)
		}
		seen[v[0]] = n
		t.x, t.y, t.line = append(t.x, v[0]), append(t.y, v[1]), append(t.line, n)
	}
	if err := scan.Err(); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if limited.N <= 0 {
		return nil, fmt.Errorf("%s is longer than %d bytes, the most that is read", name, MaxFileBytes)
	}
	if len(t.x) == 0 {
		return nil, fmt.Errorf("%s has no rows; a header wavelength,reflectance and one row for each wavelength are accepted", name)
	}
	return t, nil
}
