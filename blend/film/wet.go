package film

import (
	"fmt"
	"math"

	"tawny/blend/flake/mie"
	"tawny/colour"
)

// Figures for an emulsion before it dries.
const (
	waterIndex   = 1.333 // at 589 nm (handbook); its dispersion hardly matters here
	dropletUM    = 3.0   // µm, median droplet of a hand-blended lotion (common practice, 1 to 10)
	lotionGPerML = 1.0   // g/cm³
)

// WetLotion returns what a lotion itself does to light while it is wet: oil
// droplets of the given index scatter in the water between them, which is why
// a lotion is white in the jar and clears as it dries. oilShare is the oil
// phase's share of the product, 0 to 0.6. It is modelled: spheres of one size
// by Mie scattering, each alone, S = ¾ μ_s′.
func WetLotion(oilShare, oilIndex float64) (Base, error) {
	if !(oilShare >= 0 && oilShare <= 0.6) {
		return Base{}, fmt.Errorf("oil phase %g; 0 to 0.6 of the product is accepted", oilShare)
	}
	b := Base{Index: waterIndex}
	for j := range b.S {
		x := math.Pi * dropletUM * waterIndex * 1e3 / colour.WavelengthNM(j)
		e, err := mie.Sphere(x, complex(oilIndex/waterIndex, 0))
		if err != nil {
			return Base{}, err
		}
		// μ_s′ per length is 3 φ Q (1−g) / 2d; 1 mg/cm² is 1e-3/ρ cm deep.
		perCM := 1.5 * oilShare * e.Sca * (1 - e.G) / (dropletUM * 1e-4)
		b.S[j] = 0.75 * perCM * 1e-3 / lotionGPerML
	}
	return b, nil
}
