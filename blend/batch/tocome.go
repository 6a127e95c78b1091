package batch

import "math"

// Made is one line of a batch being weighed.
type Made struct {
	Name     string
	PlannedG float64
	WeighedG *float64 // nil until it is on the balance
	Powder   bool
}

// Grams is as weighed, as planned until then.
func (l Made) Grams() float64 {
	if l.WeighedG != nil {
		return *l.WeighedG
	}
	return l.PlannedG
}

// WentIn sums what is weighed, g, and names what is not, with its planned grams.
func WentIn(lines []Made) (inG float64, open []string, openG float64) {
	for _, l := range lines {
		if l.WeighedG != nil {
			inG += l.Grams()
		} else {
			open, openG = append(open, l.Name), openG+l.PlannedG
		}
	}
	return inG, open, openG
}

// Lost is how much of what went in is not in a batch any more that weighs madeG, less
// than 0 where it weighs more; 0 within near steps of the balance or a thousandth, as near
// as a pot's balance tells (our own choice).
func Lost(inG, madeG, stepG float64) float64 {
	if lost := inG - madeG; math.Abs(lost) > max(near*stepG, inG/1000) {
		return lost
	}
	return 0
}

// slightChange is how much a weight may stand off before the change is worth
// making: half a per cent of it (our own choice; under what a shade shows, see
// the doubt of weighing).
const slightChange = 0.005

// ToCome returns, for each line still to weigh, the grams that keep the batch's
// proportions with what was weighed; nil where it should stay as planned. A base
// line follows all that was weighed, a powder follows the powders, since their
// ratio is the shade, or all where none was weighed yet. Weights are whole steps
// of the balance, stepG each.
func ToCome(lines []Made, stepG float64) []*float64 {
	var all, powders struct{ planned, weighed float64 }
	for _, l := range lines {
		if l.WeighedG == nil {
			continue
		}
		all.planned += l.PlannedG
		all.weighed += *l.WeighedG
		if l.Powder {
			powders.planned += l.PlannedG
			powders.weighed += *l.WeighedG
		}
	}
	out := make([]*float64, len(lines))
	for i, l := range lines {
		by := all
		if l.Powder && powders.planned > 0 {
			by = powders
		}
		if l.WeighedG != nil || !(by.planned > 0) {
			continue
		}
		now := stepG * math.Round(l.PlannedG*by.weighed/by.planned/stepG)
		if math.Abs(now-l.PlannedG) > stepG/2 && math.Abs(now-l.PlannedG) > slightChange*l.PlannedG {
			out[i] = &now
		}
	}
	return out
}
