package flake

import (
	"encoding/json"
	"math"
	"os"
	"testing"
)

// Values from testdata/flake/tmm.py, which sums the whole flake film by film
// with Fresnel coefficients and averages thicknesses on fine grids.
func TestAgreesWithAirySummation(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/flake/tmm.json")
	if err != nil {
		t.Fatal(err)
	}
	var cases []struct {
		Layers     [][2]any
		Theta      float64
		Substrate  float64
		Spread     float64
		CoatSpread float64 `json:"coat_spread"`
		Binder     float64
		Packing    float64
		R, T       []float64
	}
	if err := json.Unmarshal(raw, &cases); err != nil {
		t.Fatal(err)
	}
	if len(cases) < 14 {
		t.Fatalf("%d cases, want 14", len(cases))
	}
	for i, c := range cases {
		f := Flake{
			SubstrateNM: c.Substrate, SubstrateSpreadNM: c.Spread,
			CoatSpread: c.CoatSpread, Binder: c.Binder, CoatPacking: c.Packing,
		}
		if c.Packing == 0 {
			f.CoatPacking = 1
		}
		for _, l := range c.Layers {
			f.Coats = append(f.Coats, Layer{l[0].(string), l[1].(float64)})
		}
		r, tr, _, err := f.At(c.Theta)
		if err != nil {
			t.Fatal(err)
		}
		// The coats' spread is sampled by either side; all else is exact.
		within := 1e-9
		if c.CoatSpread > 0 {
			within = 2e-6
		}
		worst := 0.0
		for b := range r {
			worst = max(worst, math.Abs(r[b]-c.R[b]), math.Abs(tr[b]-c.T[b]))
		}
		if worst > within {
			t.Errorf("case %d, %s at %g°: differs by %.2g, want within %.0g", i, FormatLayers(f.Coats), c.Theta, worst, within)
		}
	}
}
