package grain

import (
	"fmt"

	"tawny/blend/flake/constants"
)

// Grade is an ordinary pigment as a maker knows it, with the grain this
// package takes for it.
type Grade struct {
	Name  string // "red iron oxide"
	CI    string // colour index number
	INCI  string
	Grain Grain
}

// grades are usual cosmetic grades. Sizes are common practice for each: iron
// oxides and titanium dioxide a fifth to a quarter of a micrometre, chromium
// oxide about half, ultramarine one to two.
var grades = []Grade{
	{"red iron oxide", "CI 77491", "Iron Oxides", Grain{Material: "hematite", DiameterUM: 0.20, GSD: 1.5}},
	{"yellow iron oxide", "CI 77492", "Iron Oxides", Grain{Material: "goethite", DiameterUM: 0.25, GSD: 1.5}},
	{"black iron oxide", "CI 77499", "Iron Oxides", Grain{Material: "magnetite", DiameterUM: 0.25, GSD: 1.5}},
	{"titanium dioxide", "CI 77891", "Titanium Dioxide", Grain{Material: "rutile", DiameterUM: 0.25, GSD: 1.4}},
	{"ultramarine blue", "CI 77007", "Ultramarines", Grain{Material: "ultramarine", DiameterUM: 1.5, GSD: 1.6}},
	{"chromium oxide green", "CI 77288", "Chromium Oxide Greens", Grain{Material: "chromia", DiameterUM: 0.5, GSD: 1.5}},
}

// Grades returns the usual grade of every ordinary pigment modelled here.
func Grades() []Grade { return append([]Grade(nil), grades...) }

// Usual returns the usual grade of a material, "hematite".
func Usual(material string) (Grade, error) {
	m, err := constants.Find(material)
	if err != nil {
		return Grade{}, err
	}
	for _, g := range grades {
		if g.Grain.Material == m.Name {
			return g, nil
		}
	}
	return Grade{}, fmt.Errorf("no usual pigment grade of %s; give a Grain of your own", m.Name)
}
