package palette

import (
	"fmt"

	"tawny/blend/flake"
	"tawny/colour/parallel"
)

// CoatedFlakes returns modelled mica flakes with single coats from thin to
// thick: rutile through silver, gold, red, blue and green, hematite through
// bronze, copper and red-violet, and the two together. They stand for powders
// to look for where nothing listed will do.
func CoatedFlakes(binder float64) ([]*Pigment, error) {
	return coatsKnown.Get(binder, func() ([]*Pigment, error) {
		p := coated()
		return p.Pigments, p.ComputeOptics(binder)
	})
}

var coatsKnown = parallel.Once[float64, []*Pigment]{Most: 8}

func coated() *Drawer {
	p := &Drawer{}
	add := func(coats ...flake.Layer) {
		name := "mica coated with"
		for i, c := range coats {
			if i > 0 {
				name += " and"
			}
			name += fmt.Sprintf(" %g nm %s", c.ThicknessNM, c.Material)
		}
		p.Pigments = append(p.Pigments, &Pigment{
			Name: name, Layers: coats, Substrate: flake.DefaultSubstrateNM,
			// A usual pearl grade and powder (common practice).
			D10: 10, D50: 24, D90: 55, Density: 3.2, BulkDensity: 0.27, OilAbsorption: 70,
			Areas: []Area{Body}, Source: Modelled,
		})
	}
	for t := 40.0; t <= 160; t += 10 {
		add(flake.Layer{Material: "rutile", ThicknessNM: t})
	}
	for t := 10.0; t <= 90; t += 10 {
		add(flake.Layer{Material: "hematite", ThicknessNM: t})
	}
	for t := 50.0; t <= 130; t += 20 {
		add(flake.Layer{Material: "rutile", ThicknessNM: t}, flake.Layer{Material: "hematite", ThicknessNM: 12})
	}
	return p
}
