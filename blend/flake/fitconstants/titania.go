package main

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"tawny/blend/flake/grain"
	"tawny/colour"
	"tawny/colour/leastsquares"
)

// Of the binder titania was measured in: g/cm³ (assumed), and its refractive index
// (from memory, 1.55 to 1.57).
const epoxyDensity, epoxyIndex = 1.1, 1.55

// fitTitania finds the sizes of titania's grains, and the share of their strength,
// that give the reduced scattering measured in epoxy, in 1/mm per mg in 1 g.
func fitTitania(t map[string][]float64) error {
	var nm, s []float64
	for i, x := range t["wavelength"] {
		if x >= 400 && x <= 730 {
			nm, s = append(nm, x), append(s, 0.75*t["PW6 musp"][i]*10/epoxyDensity)
		}
	}
	if len(nm) == 0 {
		return fmt.Errorf("no column PW6 musp from 400 to 730 nm")
	}
	at := func(x []float64) (grain.Optics, error) {
		return grain.Grain{Material: "rutile", DiameterUM: x[0], GSD: x[1], Binder: epoxyIndex}.Optics()
	}
	x := []float64{0.41, 1.65, 0.27}
	var w leastsquares.Workspace
	cost, err := w.Minimise(&leastsquares.Residuals{Count: len(nm), At: func(x, r []float64, _ *mat.Dense) error {
		o, err := at(x)
		if err != nil {
			return err
		}
		for i := range nm {
			r[i] = math.Log(x[2] * o.S[int((nm[i]-colour.WavelengthNM(0))/10)] / s[i])
		}
		return nil
	}}, x, leastsquares.Settings{Low: []float64{0.1, 1.2, 0.01}, High: []float64{1, 2.2, 1}})
	if err != nil {
		return err
	}
	fmt.Printf("titania: median %.2f µm, spread %.2f, share %.3f of their strength; rms %.1f %%\n", x[0], x[1], x[2], 100*math.Sqrt(2*cost/float64(len(nm))))
	return nil
}
