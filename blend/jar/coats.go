package jar

import (
	"slices"

	"tawny/blend/flake"
	"tawny/blend/palette"
)

const blackIron = "CI 77499"

// onlyIron reports whether of the iron oxides' numbers the label has one alone.
func (l *Label) onlyIron(number string) bool {
	return !slices.ContainsFunc([]string{"CI 77491", "CI 77492", blackIron}, func(n string) bool {
		return slices.Contains(l.numbers(), n) != (n == number)
	})
}

// Coats lists flakes like p with every coat the label allows, from thin to
// thick: rutile, or anatase where no tin oxide is named to turn it, through
// silver, gold, red, blue and green; red iron oxide, or black where that is the
// only number or what is said, through bronze, copper and wine; and one over the other
// (thicknesses as of interference and metallic shades, Pfaff and Reynders, Chem.
// Rev. 1999). step is between two of titania, nm.
func (l *Label) Coats(p *palette.Pigment, step float64) (list []*palette.Pigment) {
	add := func(coats ...flake.Layer) {
		q := *p
		q.Layers, q.Spectrum = coats, ""
		list = append(list, &q)
	}
	white, dark, over := "anatase", "hematite", []float64{3, 7, 13, 20}
	if slices.ContainsFunc(l.INCI, func(in palette.Ingredient) bool { return ofName[key(in.INCI)] == minor && key(in.INCI) != "silica" }) {
		white = "rutile"
	}
	if l.black || l.onlyIron(blackIron) {
		dark, over = "magnetite", append(over, 40, 80) // a black hides what is under it
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
			for _, o := range over {
				add(flake.Layer{Material: white, ThicknessNM: t}, flake.Layer{Material: dark, ThicknessNM: o})
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
