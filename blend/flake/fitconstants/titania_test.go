package fitconstants

import (
	"math"
	"testing"

	"tawny/blend/flake/grain"
	"tawny/colour"
)

// Of the binder titania was measured in: g/cm³ (assumed), and its refractive index
// (from memory, 1.55 to 1.57).
const epoxyDensity, epoxyIndex, epoxyIndexError = 1.1, 1.55, 0.05

// The sizes of titania's grains, and the share of their strength, that give the
// reduced scattering measured in epoxy, in 1/mm per mg in 1 g, are those committed.
func TestTitania(t *testing.T) {
	data := read(t, "pigment-in-epoxy.csv")
	var nm, s []float64
	for i, x := range data["wavelength"] {
		if x >= 400 && x <= 730 {
			nm, s = append(nm, x), append(s, 0.75*data["PW6 musp"][i]*10/epoxyDensity)
		}
	}
	if len(nm) == 0 {
		t.Fatal("no column PW6 musp from 400 to 730 nm")
	}
	var best grain.Grain
	var share, off float64
	for _, index := range []float64{epoxyIndex - epoxyIndexError, epoxyIndex + epoxyIndexError, epoxyIndex} {
		off = math.Inf(1)
		// Single sizes' ripples stop a descent anywhere, so all are tried.
		for um := 25; um <= 60; um++ {
			for gsd := 130; gsd <= 190; gsd += 5 {
				g := grain.Grain{Material: "rutile", DiameterUM: float64(um) / 100, GSD: float64(gsd) / 100, Binder: index}
				o, err := g.Strength()
				if err != nil {
					t.Fatal(err)
				}
				// The share is the mean ratio, by logarithms; the rest is left.
				mean, square := 0.0, 0.0
				for i := range nm {
					x := math.Log(s[i] / o.S[int((nm[i]-colour.WavelengthNM(0))/10)])
					mean += x / float64(len(nm))
					square += x * x / float64(len(nm))
				}
				if left := math.Sqrt(square - mean*mean); left < off {
					best, share, off = g, math.Exp(mean), left
				}
			}
		}
		t.Logf("in %.2f median %.2f µm, spread %.2f, share %.3f of their strength; rms %.2f %%", index, best.DiameterUM, best.GSD, share, 100*off)
	}
	if g := grainOf(t, "rutile"); best.DiameterUM != g.DiameterUM || best.GSD != g.GSD {
		t.Errorf("committed are %g µm, %g", g.DiameterUM, g.GSD)
	}
	if math.Abs(share-0.27) > 0.005 || off > 0.004 {
		t.Errorf("package grain says 0.27 and 0.3 %%")
	}
}
