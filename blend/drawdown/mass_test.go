package drawdown

import (
	"math"
	"slices"
	"strings"
	"testing"

	"tawny/colour/table"
)

// By hand: 100 µm × 1.0 g/cm³ is 10 mg/cm² wet, 2 % of it 0.2 mg/cm²; 0.5 g
// over 50 cm² is 10 mg/cm² too. Relative errors of 3, 4 and 12 % make 13 %.
func TestMass(t *testing.T) {
	for _, c := range []struct {
		name, header string
		fields       []string
		want         Mass
	}{
		{"stated", "powder_mg_cm2 powder_error", []string{"0.2", "0.01"}, Mass{0.2, 0.01}},
		{"film", "film_mg_cm2 film_error load_percent load_error", []string{"10", "0.5", "2", "0.24"}, Mass{0.2, 0.026}},
		{"thickness", "wet_um wet_error density_g_cm3 density_error load_percent load_error", []string{"100", "3", "1", "0.04", "2", "0.24"}, Mass{0.2, 0.026}},
		{"grams", "grams grams_error area_cm2 area_error load_percent load_error", []string{"0.5", "0.015", "50", "2", "2", "0.24"}, Mass{0.2, 0.026}},
	} {
		f := &table.File{Name: "films.csv", Header: strings.Fields(c.header)}
		got, err := drawRow{f, table.Row{Line: 3, Fields: c.fields}}.mass(map[string]bool{})
		if err != nil || math.Abs(got.MgPerCM2-c.want.MgPerCM2) > 1e-15 || math.Abs(got.Err-c.want.Err) > 1e-15 {
			t.Errorf("%s: %+v %v, want %+v", c.name, got, err, c.want)
		}
		for i := range c.fields {
			for _, bad := range []string{"0", "-1", "nan", "inf", "1e9"} {
				if i%2 == 1 && bad == "0" {
					continue // an error of 0 is exact
				}
				fields := slices.Clone(c.fields)
				fields[i] = bad
				if m, err := (drawRow{f, table.Row{Line: 3, Fields: fields}}).mass(map[string]bool{}); err == nil {
					t.Errorf("%s: took %q for a measurement: %+v", c.name, bad, m)
				}
			}
		}
	}
}
