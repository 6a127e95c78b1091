package batch

import (
	"fmt"
	"math"

	"tawny/blend/batch/rules"
)

// How a phase is heated where its base does not say (common practice): a
// lotion's to 70 °C at least, so that the emulsifier forms and germs are fewer,
// held for 20 minutes; an oil only over what melts highest, for 10.
const (
	lotionHeatC                    = 70
	overMeltC                      = 5 // °C over the melting point
	lotionHoldMinutes, oilHoldMins = 20, 10
)

// imply fills in what the ingredients ask for where the base is silent: waxes,
// butters and fatty acids must be melted.
func (b *Base) imply() {
	if b.HeatC.Stated() || b.Kind == Ready || b.Kind == Spray {
		return
	}
	_, melts := b.melts()
	if melts == 0 {
		return
	}
	low := 5 * math.Ceil((melts+overMeltC)/5)
	if b.HoldMinutes == 0 {
		b.HoldMinutes = oilHoldMins
	}
	if b.Kind == Lotion {
		low = max(lotionHeatC, 5*math.Ceil(melts/5))
		b.HoldMinutes = max(b.HoldMinutes, lotionHoldMinutes)
	}
	b.HeatC = Range{low, low + 5}
	b.assumed(assumedHeat)
}

// Keys of a base's file that are filled in where nobody gives them.
const assumedDensity, assumedConsistency, assumedHeat = "density_g_ml", "consistency", "heat_c"

// assumed writes down that a key's value is nobody's.
func (b *Base) assumed(key string) {
	b.Assumed = append(b.Assumed, key)
	switch key {
	case assumedDensity:
		b.Implied = append(b.Implied, fmt.Sprintf("Its density is not given: %g g/ml is assumed. Weigh 10 ml, and write 'density: 0.97' or what 1 ml of it weighed among its lines.", b.Density))
	case assumedConsistency:
		b.Implied = append(b.Implied, fmt.Sprintf("Its consistency is not given: %s is assumed.", b.Consistency))
	case assumedHeat:
		name, melts := b.melts()
		b.Implied = append(b.Implied, fmt.Sprintf("%s melts at about %g °C and how hot it is made is not given: taken as %s °C.", name, melts, span(b.HeatC)))
	}
}

// melts is the ingredient that melts highest, and at how many °C; 0 for none.
func (b *Base) melts() (name string, at float64) {
	for _, in := range b.Ingredients {
		for _, s := range in.Substances() {
			if known := rules.IngredientOf(s.INCI); known != nil && known.MeltsC > at && in.Phase != PhaseCool {
				name, at = in.Name, known.MeltsC
			}
		}
	}
	return name, at
}
