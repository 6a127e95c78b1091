package jar

import (
	"slices"

	"tawny/blend/flake"
	"tawny/blend/palette"
)

// Coats lists flakes like p with every coat the label allows, from thin to
// thick: rutile, or anatase where no tin oxide is named to turn it, through
// silver, gold, red, blue and green; red iron oxide, or black where that is the
// only number, through bronze, copper and wine; and one over the other
// (thicknesses as of interference and metallic shades, Pfaff and Reynders, Chem.
// Rev. 1999). step is between two of titania, nm.
func (l *Label) Coats(p *palette.Pigment, step float64) (list []*palette.Pigment) {
	add := func(coats ...flake.Layer) {
		q := *p
		q.Layers, q.Spectrum = coats, ""
		list = append(list, &q)
	}
	white, dark := "anatase", "hematite"
	if slices.ContainsFunc(l.INCI, func(in palette.Ingredient) bool { return ofName[key(in.INCI)] == minor && key(in.INCI) != "silica" }) {
		white = "rutile"
	}
	if numbers := l.numbers(); slices.Contains(numbers, "CI 77499") && !slices.Contains(numbers, "CI 77491") && !slices.Contains(numbers, "CI 77492") {
		dark = "magnetite"
	}
	switch l.coats & (titania | iron | chromium) {
	case titania:
		for t := 30.0; t <= 160; t += step {
			add(flake.Layer{Material: white, ThicknessNM: t})
		}
	case iron:
		for t := 10.0; t <= 100; t += 5 {
			add(flake.Layer{Material: dark, ThicknessNM: t})
		}
	case titania | iron:
		for t := 30.0; t <= 150; t += step {
			for _, over := range []float64{3, 7, 13, 20} {
				add(flake.Layer{Material: white, ThicknessNM: t}, flake.Layer{Material: dark, ThicknessNM: over})
			}
		}
	case titania | chromium:
		for t := 100.0; t <= 160; t += step {
			add(flake.Layer{Material: white, ThicknessNM: t}, flake.Layer{Material: "chromia", ThicknessNM: 10})
		}
	case 0:
		add()
	}
	return list
}
