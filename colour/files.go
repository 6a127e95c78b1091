package colour

import (
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"tawny/colour/table"
)

// twoColumns is a file of wavelength (nm) and power: a spectrum at 1 nm is
// under 10 kB, so a megabyte leaves room for comments.
var twoColumns = table.Kind{Late: true, MaxBytes: 1 << 20}

// ParseIlluminant reads a light from a CSV of wavelength (nm) and relative
// power. '# name: …' names it; name is used in errors.
func ParseIlluminant(name string, r io.Reader) (Illuminant, error) {
	f, err := table.Read(name, r, twoColumns)
	if err != nil {
		return Illuminant{}, err
	}
	if len(f.Header) != 2 || !strings.HasPrefix(strings.ToLower(f.Header[0]), "wavelength") {
		return Illuminant{}, f.LineFault(f.HeaderLine, "header", fmt.Sprintf("the columns are %s", table.Clip(strings.Join(f.Header, ","))), "two columns, wavelength and a value")
	}
	var v [2][]float64
	for _, row := range f.Rows {
		for i, text := range row.Fields {
			x, err := table.Finite(text)
			if err != nil {
				return Illuminant{}, f.Fault(row, i, fmt.Sprintf("%q", table.Clip(text)), "a finite number")
			}
			v[i] = append(v[i], x)
		}
	}
	title := f.Value("name")
	if title == "" {
		title = strings.TrimSuffix(filepath.Base(name), filepath.Ext(name))
	}
	l, err := NewIlluminant(title, v[0], v[1])
	if err != nil {
		return Illuminant{}, fmt.Errorf("%s: %w", name, err)
	}
	return l, nil
}
