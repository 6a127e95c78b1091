package fitconstants

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"tawny/blend/flake/grain"
	"tawny/colour"
	"tawny/colour/leastsquares"
)

// Of the binder titania was measured in: g/cm³ (assumed), and its refractive index
// (from memory, 1.55 to 1.57).
const epoxyDensity, epoxyIndex = 1.1, 1.55

// The sizes of titania's grains, and the share of their strength, that give the
// reduced scattering measured in epoxy, in 1/mm per mg in 1 g. The committed sizes
// follow it as closely as package grain says.
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
	// off is how far the logarithm of a grain's scattering is from the measured.
	off := func(x, r []float64) error {
		o, err := grain.Grain{Material: "rutile", DiameterUM: x[0], GSD: x[1], Binder: epoxyIndex}.Optics()
		for i := range nm {
			r[i] = math.Log(x[2] * o.S[int((nm[i]-colour.WavelengthNM(0))/10)] / s[i])
		}
		return err
	}
	fit := func(name string, x, low, high []float64) float64 {
		var w leastsquares.Workspace
		cost, err := w.Minimise(&leastsquares.Residuals{Count: len(nm), At: func(x, r []float64, _ *mat.Dense) error { return off(x, r) }},
			x, leastsquares.Settings{Low: low, High: high})
		if err != nil {
			t.Fatal(err)
		}
		rms := math.Sqrt(2 * cost / float64(len(nm)))
		t.Logf("%s: median %.2f µm, spread %.2f, share %.3f of their strength; rms %.1f %%", name, x[0], x[1], x[2], 100*rms)
		return rms
	}
	if rms := fit("best", []float64{0.41, 1.65, 0.27}, []float64{0.1, 1.2, 0.01}, []float64{1, 2.2, 1}); rms > 0.004 {
		t.Errorf("the best fit is %.4f off", rms)
	}
	g := grain.Grades["rutile"].Grain
	if rms := fit("committed", []float64{g.DiameterUM, g.GSD, 0.27}, []float64{g.DiameterUM, g.GSD, 0.01}, []float64{g.DiameterUM, g.GSD, 1}); rms > 0.016 {
		t.Errorf("the committed sizes are %.4f off", rms)
	}
}
