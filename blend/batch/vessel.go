package batch

import (
	"fmt"
	"math"
)

// Vessel is one pot or beaker to have ready.
type Vessel struct {
	For string `json:"for"`
	ML  int    `json:"ml"` // its size, a usual one
	Why string `json:"why"`
}

// beakers are the usual sizes, ml: low-form beakers (ISO 3819, from memory), a
// kitchen's pot of 1.5 l, then stock pots.
var beakers = []int{25, 50, 100, 250, 400, 600, 800, 1000, 1500, 2000, 3000, 5000, 10000, 15000, 20000, 30000, 50000, 100000}

// sizeFor is the smallest usual vessel for so many times a content of g of product.
func sizeFor(g, density, times float64) int {
	ml := g / density * times
	for _, b := range beakers {
		if float64(b) >= ml {
			return b
		}
	}
	return int(math.Ceil(ml/100000) * 100000)
}

// room over the content (common practice): half as much again to heat, stir or blend
// in; more would leave a film at the bottom, in which a stick blender draws air.
const room = 1.5

func vessels(base *Base, b *Batch) []Vessel {
	var out []Vessel
	add := func(what string, g, times float64, why string) {
		if g > 0 {
			out = append(out, Vessel{what, sizeFor(g, b.DensityGML, times), why})
		}
	}
	switch b.Kind {
	case Lotion:
		add("main pot, water phase and then all of it", b.TotalG, room, "the blender head must stay under the surface; a tall narrow pot takes in less air")
		add("oil phase", b.phaseG(PhaseOil), room, "heatproof, with a lid")
		add("cool-down items", b.phaseG(PhaseCool), room, "")
	case Ready:
		add("main bowl", b.TotalG, room, "wide, so that a spatula reaches everywhere")
	default:
		add("main jug, with a lip", b.TotalG, room, "dry")
		add("slurry of powder and what wets it, thinned", 3*(b.phaseG(PhasePowder)+b.phaseG(PhaseWetting)), room, "wide enough to work a spatula in")
	}
	add("powders, weighed together", b.powderML(), 2, "lidded: the powders are light and fly")
	return out
}

// phaseG is the weight of one phase, g.
func (b *Batch) phaseG(p Phase) float64 {
	s := int64(0)
	for _, l := range b.Weighings {
		if l.Phase == p {
			s += l.Steps
		}
	}
	return b.balance().Grams(s)
}

// powderML is the loose volume of the powders times the product's density, so
// that sizeFor gives ml of powder.
func (b *Batch) powderML() float64 {
	ml := 0.0
	for _, l := range b.Weighings {
		if l.Powder {
			d, _ := bulkDensity(l.pigment)
			ml += l.Grams / d
		}
	}
	return ml * b.DensityGML
}

// TopUp is the water a hot process loses and how to make it good.
type TopUp struct {
	LowG  float64 `json:"lowG"`  // likely loss, g
	HighG float64 `json:"highG"` // likely loss, g
	Text  string  `json:"text"`
}

// A covered water phase held at 70–75 °C for 20 min and stirred after loses
// about 2 to 5 % of its water (common practice).
const (
	lossLow  = 0.02
	lossHigh = 0.05
)

func topUp(base *Base, b *Batch) *TopUp {
	if b.Kind != Lotion || !base.HeatC.Stated() {
		return nil
	}
	w := b.phaseG(PhaseWater)
	if w == 0 {
		return nil
	}
	t := &TopUp{LowG: lossLow * w, HighG: lossHigh * w}
	t.Text = fmt.Sprintf("Expect to lose %s to %s g of water. Keep about %s g of boiled purified water by, covered, and bring the pot back to its weight with it. It is not part of the weights above.", sig2(t.LowG), sig2(t.HighG), upTo(2*t.HighG))
	return t
}
