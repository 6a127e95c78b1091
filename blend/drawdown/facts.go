package drawdown

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"tawny/blend/palette"
	"tawny/colour/table"
)

// Describe reads a powder's facts from the file's lines.
func (d *File) Describe(p *palette.Pigment) error {
	k := d.Keys
	if k["family"] != "" {
		p.Family = k["family"]
	}
	for _, n := range []struct {
		key       string
		to        *float64
		low, high float64
	}{
		{"density_g_cm3", &p.Density, 0.5, 10}, {"bulk_g_ml", &p.BulkDensity, 0.02, 5},
		{"oil_absorption_g_100g", &p.OilAbsorption, 5, 500}, {"price_per_g", &p.PricePerG, 0, 1e6}, {"stock_g", &p.StockG, 0, 1e9},
	} {
		if text := k[n.key]; text != "" {
			x, err := strconv.ParseFloat(text, 64)
			if err != nil || !(x >= n.low && x <= n.high) {
				return fmt.Errorf("%s: %s is %q; a number from %g to %g is accepted", d.Name, n.key, table.Clip(text), n.low, n.high)
			}
			*n.to = x
		}
	}
	if k["grade"] != "" {
		var err error
		if p.D10, p.D50, p.D90, err = ParseGrade(k["grade"]); err != nil {
			return fmt.Errorf("%s: %w", d.Name, err)
		}
	}
	if k["inci"] != "" {
		p.INCI = nil
		for _, item := range strings.Split(k["inci"], ";") {
			name, percent, _ := strings.Cut(item, "=")
			x, err := strconv.ParseFloat(strings.TrimSpace(percent), 64)
			if err != nil {
				return fmt.Errorf("%s: inci is %q; name=percent joined by ; is accepted", d.Name, table.Clip(k["inci"]))
			}
			p.INCI = append(p.INCI, palette.Ingredient{INCI: strings.TrimSpace(name), Percent: x})
		}
	}
	if k["ci"] != "" {
		p.CI = nil
		for _, c := range strings.Split(k["ci"], ";") {
			p.CI = append(p.CI, strings.TrimSpace(c))
		}
	}
	if k["areas"] != "" {
		p.Areas = nil
		for _, a := range strings.Split(k["areas"], ";") {
			p.Areas = append(p.Areas, palette.Area(strings.ToLower(strings.TrimSpace(a))))
		}
	}
	return nil
}

// ParseGrade reads "10-60", the sizes in µm that a tenth and nine tenths of the
// flakes lie under, as grades are usually sold (common practice), or
// "10-24-55". The middle of two is their geometric mean, as for the lognormal
// sizes of milled flakes.
func ParseGrade(text string) (d10, d50, d90 float64, err error) {
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(strings.ToLower(strings.ReplaceAll(text, "µ", "u"))), "um"))
	var v []float64
	for _, f := range strings.FieldsFunc(text, func(r rune) bool { return r == '-' || r == '–' || r == ' ' }) {
		x, err := strconv.ParseFloat(f, 64)
		if err != nil || !(x >= 0.01 && x <= 2000) {
			v = nil
			break
		}
		v = append(v, x)
	}
	switch {
	case len(v) == 2 && v[0] < v[1]:
		return v[0], math.Sqrt(v[0] * v[1]), v[1], nil
	case len(v) == 3 && v[0] < v[1] && v[1] < v[2]:
		return v[0], v[1], v[2], nil
	}
	return 0, 0, 0, fmt.Errorf("grade %q; sizes in µm such as 10-60 (or d10-d50-d90 such as 10-24-55) are accepted", table.Clip(text))
}
