package batch

import (
	"maps"
	"slices"
	"strings"

	"tawny/blend/batch/rules"
	"tawny/blend/palette"
)

// selfPreserving is the share of alcohol at which a watery product keeps
// itself (common practice).
const selfPreserving = 20

// preservatives checks that there is one wherever there is water, that each
// is on Annex V and within its limit, that it works at the product's pH, and
// what the set is weak against.
func (c *checker) preservatives() {
	type use struct {
		part
		p *rules.Preservative
	}
	var uses []use
	strong := 0.0 // alcohol, %
	for _, s := range c.parts {
		if alcohol(s.INCI) {
			strong += s.percent
		}
		p := rules.PreservativeOf(s.INCI)
		if p == nil {
			continue
		}
		uses = append(uses, use{s, p})
		if s.Percent == 0 && p.LimitPercent > 0 && c.Base.Kind != Ready {
			c.open("the share of "+p.INCI, Advice, s.line.Name, p.Source(), "The share of %s in %s is not given, so its limit of %.3g %% cannot be checked. Take the share from the supplier's sheet.", p.INCI, s.line.Name, p.MaxPercent())
		}
	}
	for i := range c.Weighings {
		l := &c.Weighings[i]
		if l.Has(RolePreservative) && !slices.ContainsFunc(uses, func(u use) bool { return u.line == l }) {
			c.add(Fault, l.Name, "Article 14(1)(d) and Annex V, Regulation (EC) No 1223/2009", "%s is named a preservative but none of it is on the EU's list, so it must not be relied on as one there.", l.Name)
		}
	}
	if c.Base.HasWater() && len(uses) == 0 {
		if strong >= selfPreserving {
			c.add(Note, "preservative", practice, "No preservative, but %.3g %% alcohol keeps the product.", strong)
		} else {
			c.add(Stop, "preservative", "Article 3, Regulation (EC) No 1223/2009; "+practice, "There is water and no preservative: it will grow microbes within days. Add one and have the product tested.")
		}
		return
	}
	// One entry's limit is for all its forms together, as acid where it says so.
	total := map[string]float64{}
	first := map[string]use{}
	for _, u := range uses {
		if _, ok := first[u.p.Entry]; !ok {
			first[u.p.Entry] = u
		}
		total[u.p.Entry] += u.percent * u.p.AcidFactor
		if u.p.LimitPercent == 0 {
			c.add(Stop, u.line.Name, u.p.Source(), "%s is not allowed here: %s.", u.p.INCI, u.p.Condition)
		}
		if c.Base.Kind.Sprayed() && !u.p.Spray {
			c.add(Stop, u.line.Name, u.p.Source(), "%s is not allowed in this spray: %s.", u.p.INCI, u.p.Condition)
		}
		if c.Area == palette.Lips && !u.p.Lips {
			c.add(Stop, u.line.Name, u.p.Source(), "%s is not allowed in lip products: %s.", u.p.INCI, u.p.Condition)
		}
		if ph := c.Base.PH; ph.Stated() && c.Base.HasWater() && (ph.High > u.p.PHHigh || ph.Low < u.p.PHLow) {
			how, is := Fault, "this product is at"
			if c.req.PH > 0 {
				how, is = Stop, "this batch was measured at"
			}
			c.add(how, u.line.Name, practice, "%s works at pH %g to %g; %s %s. Outside it does little: change the pH or the preservative.", u.p.INCI, u.p.PHLow, u.p.PHHigh, is, span(ph))
		}
	}
	enough := false // or not known to be too little, or with its supplier's own range to be held to
	for _, e := range slices.Sorted(maps.Keys(first)) {
		u := first[e]
		if u.p.LimitPercent > 0 && total[e] > u.p.LimitPercent*(1+1e-9) {
			as := ""
			if u.p.AcidFactor != 1 || strings.HasSuffix(u.p.INCI, "Acid") {
				as = " as acid"
			}
			c.add(Stop, u.line.Name, u.p.Source(), "%s is %.4g %%%s; at most %g %% is allowed.", u.p.INCI, total[e], as, u.p.LimitPercent)
		}
		enough = enough || u.line.usual.Stated() || total[e] == 0 || u.p.LimitPercent == 0 || total[e] >= u.p.LeastPercent*u.p.AcidFactor*(1-1e-9)
	}
	// Annex V entries 12 and 12a: a limit on all parabens together, and a smaller one
	// on propyl and butyl within it.
	if sum := total["12"] + total["12a"]; sum > 0.8*(1+1e-9) {
		c.add(Stop, "parabens", "Annex V entries 12 and 12a, Regulation (EC) No 1223/2009", "All parabens together are %.3g %% as acid; at most 0.8 %% is allowed.", sum)
	}
	if c.Base.Kind == Ready || !c.Base.HasWater() {
		return
	}
	if !enough {
		c.add(Fault, uses[0].line.Name, practice, "Every preservative is under its usual minimum (%s: %g %%). Use more, or write the supplier's range for this pair into the base's file.", uses[0].p.INCI, uses[0].p.LeastPercent)
	}
	weak := uses[0].p.WeakAgainst
	switch {
	case c.Named(RoleBooster) != "":
	case !slices.ContainsFunc(uses, func(u use) bool { return !strings.Contains(u.p.WeakAgainst, "gram-negative") }):
		c.add(Advice, uses[0].line.Name, practice, "All of these preservatives are weak against gram-negative bacteria. Pair them with another or a booster, and test.")
	case !slices.ContainsFunc(uses, func(u use) bool { return u.p.WeakAgainst != weak }):
		c.add(Advice, uses[0].line.Name, practice, "Weak against %s: pair it with another or a booster, and test.", weak)
	}
}
