package batch

// oilPhase is the weight of the oils the emulsifiers have to hold: everything
// in the oil phase that is no emulsifier, % of the product.
func (c *checker) oilPhase() float64 {
	sum := 0.0
	for _, l := range c.lines {
		if l.Phase == PhaseOil && !hasRole(l, RoleEmulsifier) {
			sum += l.Percent
		}
	}
	return sum
}

// Griffin's scale: emulsifiers of HLB 8 to 16 make oil-in-water emulsions
// (Griffin, J. Soc. Cosmet. Chem. 1:311, 1949, from memory).
const (
	hlbLow  = 8
	hlbHigh = 16
)

// emulsion checks that a lotion with oil has an emulsifier, and shows
// Griffin's sum, but only where every emulsifier carries a number: many of
// today's are blends that have none, and a sum with gaps would mislead.
func (c *checker) emulsion() {
	if c.base.Kind != Lotion {
		return
	}
	weight, sum, n, missing := 0.0, 0.0, 0, 0
	for _, l := range c.lines {
		if !hasRole(l, RoleEmulsifier) {
			continue
		}
		n++
		if l.hlb == 0 {
			missing++
		}
		weight += l.Percent
		sum += l.Percent * l.hlb
	}
	switch {
	case n == 0 && c.oilPhase() > 0:
		c.add(Fault, "emulsifier", practice, "There is an oil phase and no emulsifier: it will part. Add one, or make an oil.")
	case n > 0 && missing == 0:
		hlb := sum / weight
		if hlb < hlbLow || hlb > hlbHigh {
			c.add(Fault, "emulsifier", "Griffin 1949", "The emulsifiers' HLB is %.1f by weight; oil-in-water lotions want %d to %d.", hlb, hlbLow, hlbHigh)
		} else {
			c.add(Note, "emulsifier", "Griffin 1949", "The emulsifiers' HLB is %.1f by weight, within the %d to %d of oil-in-water lotions.", hlb, hlbLow, hlbHigh)
		}
	}
}
