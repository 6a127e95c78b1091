package grain

// Grade is an ordinary pigment as a maker knows it, with the grain this
// package takes for it.
type Grade struct {
	Name  string // "red iron oxide"
	CI    string // colour index number
	INCI  string
	Grain Grain
}

// Grades are usual cosmetic grades by their material. Sizes are common practice for each: iron
// oxides a sixth to a quarter of a micrometre, chromium oxide about half,
// ultramarine one to two. Titanium dioxide's follows how its scattering in
// epoxy falls with the wavelength, rms 0.3 % from 400 to 730 nm (A. B. Walter et al., J.
// Biomed. Opt. 28:025002, 2023; fitconstants), of an index of 1.55 (from memory).
var Grades = map[string]Grade{
	"hematite":    {"red iron oxide", "CI 77491", "Iron Oxides", Grain{Material: "hematite", DiameterUM: 0.17, GSD: 1.5}},
	"goethite":    {"yellow iron oxide", "CI 77492", "Iron Oxides", Grain{Material: "goethite", DiameterUM: 0.25, GSD: 1.5}},
	"magnetite":   {"black iron oxide", "CI 77499", "Iron Oxides", Grain{Material: "magnetite", DiameterUM: 0.25, GSD: 1.5}},
	"rutile":      {"titanium dioxide", "CI 77891", "Titanium Dioxide", Grain{Material: "rutile", DiameterUM: 0.41, GSD: 1.65}},
	"ultramarine": {"ultramarine blue", "CI 77007", "Ultramarines", Grain{Material: "ultramarine", DiameterUM: 1.5, GSD: 1.6}},
	"chromia":     {"chromium oxide green", "CI 77288", "Chromium Oxide Greens", Grain{Material: "chromia", DiameterUM: 0.5, GSD: 1.5}},
}
