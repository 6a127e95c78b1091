package drawdown

import (
	"fmt"
	"math"
)

// Mass is an areal mass of powder with the standard error of the figure, both
// in mg/cm².
type Mass struct {
	MgPerCM2, Err float64
}

// Figure is a measured number with its standard error, in the same unit.
type Figure struct {
	Value, Err float64
}

// relative returns the relative error, squared.
func (g Figure) relative() float64 { return (g.Err / g.Value) * (g.Err / g.Value) }

// positive refuses what no balance, gauge or ruler shows.
func (g Figure) positive(what string) error {
	if !(g.Value > 0) || math.IsInf(g.Value, 1) {
		return fmt.Errorf("drawdown: %s must be above 0, got %g", what, g.Value)
	}
	if !(g.Err >= 0) || math.IsInf(g.Err, 1) {
		return fmt.Errorf("drawdown: the error of %s must be 0 or more, got %g", what, g.Err)
	}
	return nil
}

// load refuses what is not a percentage.
func (g Figure) load() error {
	if g.Value > 100 {
		return fmt.Errorf("drawdown: the load of powder is at most 100 %%, got %g", g.Value)
	}
	return g.positive("the load of powder")
}

// FromMass takes the areal mass of powder as known, mg/cm².
func FromMass(mgPerCM2 Figure) (Mass, error) {
	if err := mgPerCM2.positive("the areal mass"); err != nil {
		return Mass{}, err
	}
	return Mass{mgPerCM2.Value, mgPerCM2.Err}, nil
}

// FromThickness takes a wet film's thickness in µm, its density in g/cm³ and
// its load of powder in % w/w: 1 µm of density 1 is 0.1 mg/cm². The wet film
// is thinner than the gap of the tool that drew it, commonly by about half
// (common practice), so use a wet-film gauge or state a large error.
func FromThickness(wetUM, density, loadPercent Figure) (Mass, error) {
	if err := wetUM.positive("the wet thickness"); err != nil {
		return Mass{}, err
	}
	if err := density.positive("the density"); err != nil {
		return Mass{}, err
	}
	if err := loadPercent.load(); err != nil {
		return Mass{}, err
	}
	m := 0.1 * wetUM.Value * density.Value * loadPercent.Value / 100
	return Mass{m, m * math.Sqrt(wetUM.relative()+density.relative()+loadPercent.relative())}, nil
}

// FromGrams takes the grams of wet film that left the tool or were gained by
// the card (weighed before it dries), the area covered in cm² and the load of
// powder in % w/w.
func FromGrams(grams, areaCM2, loadPercent Figure) (Mass, error) {
	if err := grams.positive("the grams lost"); err != nil {
		return Mass{}, err
	}
	if err := areaCM2.positive("the area"); err != nil {
		return Mass{}, err
	}
	if err := loadPercent.load(); err != nil {
		return Mass{}, err
	}
	m := 1000 * grams.Value / areaCM2.Value * loadPercent.Value / 100
	return Mass{m, m * math.Sqrt(grams.relative()+areaCM2.relative()+loadPercent.relative())}, nil
}
