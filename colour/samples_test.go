package colour

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// written is a plausible skin at 10 nm, rising from 0.2 to 0.65.
func written() (nm, value []float64) {
	for i := range Bands {
		nm = append(nm, WavelengthNM(i))
		value = append(value, 0.2+0.45/(1+math.Exp(-(WavelengthNM(i)-590)/15)))
	}
	return nm, value
}

// Each fault names its place; the same spectrum without it passes in fractions
// and in per cent.
func TestCheckSamples(t *testing.T) {
	for name, row := range map[string]struct {
		spoil func(nm, v []float64)
		index int
		want  string
	}{
		"decimal point slipped up":   {func(_, v []float64) { v[20] *= 10 }, 20, "8.3 times its neighbours"},
		"decimal point slipped down": {func(_, v []float64) { v[30] /= 10 }, 30, "0.1 times its neighbours"},
		"the first":                  {func(_, v []float64) { v[0] *= 10 }, 0, "times its neighbours"},
		"the last":                   {func(_, v []float64) { v[35] /= 100 }, 35, "times its neighbours"},
		"per cent from the middle": {func(_, v []float64) {
			for i := 18; i < len(v); i++ {
				v[i] *= 100
			}
		}, 18, "mixed"},
		"per cent up to the middle": {func(_, v []float64) {
			for i := range 18 {
				v[i] *= 100
			}
		}, 18, "mixed"},
		"below zero": {func(_, v []float64) { v[4] = -0.01 }, 4, "0 to 2"},
		"not finite": {func(_, v []float64) { v[4] = math.NaN() }, 4, "0 to 2"},
		"gap":        {func(nm, _ []float64) { nm[10], nm[11] = 461, 462 }, 12, "gap of 30 nm"},
	} {
		for _, scale := range []float64{1, 100} {
			nm, v := written()
			for i := range v {
				v[i] *= scale
			}
			if err := CheckSamples(nm, v); err != nil {
				t.Fatalf("a sound spectrum: %v", err)
			}
			row.spoil(nm, v)
			var fault *SampleError
			if err := CheckSamples(nm, v); !errors.As(err, &fault) || fault.Index != row.index || !strings.Contains(err.Error(), row.want) {
				t.Errorf("%s, scale %g: %v, want place %d and %q", name, scale, err, row.index, row.want)
			}
		}
	}
	// Steep and near-black spectra of real colours pass.
	for name, v := range map[string][]float64{
		"red pigment": {0.004, 0.004, 0.005, 0.02, 0.08, 0.3, 0.6, 0.65}, "black": {0.001, 0.004, 0.0005, 0.003, 0.001, 0.002, 0.001, 0.001},
		"red that ends at its edge":    {0.005, 0.005, 0.005, 0.005, 0.005, 0.005, 0.03, 0.2},
		"blue that begins at its edge": {0.2, 0.03, 0.005, 0.005, 0.005, 0.005, 0.005, 0.005},
	} {
		nm := []float64{400, 420, 440, 460, 480, 500, 520, 540}
		if err := CheckSamples(nm, v); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if CheckSamples([]float64{400}, nil) == nil || CheckSamples(nil, nil) == nil {
		t.Error("unequal or empty lists were accepted")
	}
	if err := CheckSamples([]float64{400}, []float64{0.5}); err != nil {
		t.Errorf("one sample: %v", err)
	}
}
