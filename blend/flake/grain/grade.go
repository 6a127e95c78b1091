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
// oxides a sixth to a quarter of a micrometre, chromium oxide about half,
// ultramarine one to two. Titanium dioxide's is our fit to how its scattering in
// epoxy falls with the wavelength, within 1.8 % from 400 to 730 nm (A. B. Walter et
// al., J. Biomed. Opt. 28:025002, 2023; fitconstants).
var grades = []Grade{
	{"red iron oxide", "CI 77491", "Iron Oxides", Grain{Material: "hematite", DiameterUM: 0.17, GSD: 1.5}},
	{"yellow iron oxide", "CI 77492", "Iron Oxides", Grain{Material: "goethite", DiameterUM: 0.25, GSD: 1.5}},
	{"black iron oxide", "CI 77499", "Iron Oxides", Grain{Material: "magnetite", DiameterUM: 0.25, GSD: 1.5}},
	{"titanium dioxide", "CI 77891", "Titanium Dioxide", Grain{Material: "rutile", DiameterUM: 0.35, GSD: 1.58}},
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
