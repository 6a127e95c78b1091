package drawdown

import (
	"fmt"
	"math"
	"strings"

	"tawny/blend/palette"
	"tawny/colour/table"
)

// Describe reads a powder's facts from the file's lines.
func (d *File) Describe(p *palette.Pigment) error {
	for _, key := range []string{"family", "density_g_cm3", "bulk_g_ml", "oil_absorption_g_100g", "price_per_g", "stock_g", "inci", "ci", "areas"} {
		if text := d.Keys[key]; text != "" {
			if e := p.Set(key, text); e != nil {
				return d.keyFault(key, e.Problem, e.Accept)
			}
		}
	}
	if text := d.Keys["grade"]; text != "" {
		var err error
		if p.D10, p.D50, p.D90, err = ParseGrade(text); err != nil {
			return d.keyFault("grade", err.Error(), "")
		}
	}
	return nil
}

// ParseGrade reads "10-60", the sizes in µm that a tenth and nine tenths of the
// flakes lie under, as grades are usually sold (common practice), or
// "10-24-55". The middle of two is their geometric mean, as for the lognormal
// sizes of milled flakes. "<15" begins at two sevenths of that, as the built-in satins do.
func ParseGrade(text string) (d10, d50, d90 float64, err error) {
	text = strings.ToLower(strings.TrimSpace(strings.ReplaceAll(text, "µ", "u")))
	for _, unit := range [...]string{"um", "microns", "micron"} {
		text = strings.TrimSpace(strings.TrimSuffix(text, unit))
	}
	var v []float64
	for _, f := range strings.FieldsFunc(text, func(r rune) bool { return r == '-' || r == '–' || r == ' ' }) {
		x, err := table.Number(f, 0.01, 2000)
		if err != nil {
			v = nil
			break
		}
		v = append(v, x)
	}
	switch under, ok := strings.CutPrefix(text, "<"); {
	case ok:
		if d90, err = table.Number(strings.TrimSpace(under), 0.01, 2000); err == nil {
			return ParseGrade(fmt.Sprintf("%.3g-%g", d90*2/7, d90))
		}
	case len(v) == 2 && v[0] < v[1]:
		return v[0], math.Sqrt(v[0] * v[1]), v[1], nil
	case len(v) == 3 && v[0] < v[1] && v[1] < v[2]:
		return v[0], v[1], v[2], nil
	}
	return 0, 0, 0, fmt.Errorf("%q; sizes in µm, the smaller first, such as 10-60 (or with the middle one, 10-24-55; or <15) are accepted", table.Clip(text))
}
