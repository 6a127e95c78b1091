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
	name, melts := "", 0.0
	for _, in := range b.Ingredients {
		for _, s := range in.Substances() {
			if known := rules.IngredientOf(s.INCI); known != nil && known.MeltsC > melts && in.Phase != PhaseCool {
				name, melts = in.Name, known.MeltsC
			}
		}
	}
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
	b.Implied = append(b.Implied, fmt.Sprintf("%s melts at about %g °C and how hot it is made is not given: taken as %s °C.", name, melts, span(b.HeatC)))
}
