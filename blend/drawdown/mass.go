package drawdown

import "math"

// Mass is an areal mass of powder with the standard error of the figure, both
// in mg/cm².
type Mass struct {
	MgPerCM2 float64 `json:"statedMgCm2"`
	Err      float64 `json:"errorMgCm2"`
}

// Figure is a measured number with its standard error, in the same unit.
type Figure struct {
	Value, Err float64
}

// massOf multiplies figures, the last divided by where over is given, to an areal
// mass of powder: unit is that of the product, in mg/cm². 1 µm of density 1 is 0.1
// mg/cm², and a gram over a square centimetre 1000. A wet film is thinner than the
// gap of the tool that drew it, commonly by about half (common practice), so a
// wet-film gauge, or a large error, belongs in its thickness.
func massOf(unit float64, over Figure, figures ...Figure) Mass {
	m, relative := unit/over.Value, over.Err/over.Value
	for _, f := range figures {
		m *= f.Value
		relative = math.Hypot(relative, f.Err/f.Value)
	}
	return Mass{m, m * relative}
}
