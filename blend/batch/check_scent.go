package batch

import (
	"slices"
	"strings"

	"tawny/blend"
	"tawny/blend/batch/rules"
)

// scent checks a fragrance against its own certificate and the list of
// allergens.
func (c *checker) scent() {
	s := c.req.Scent
	if s == nil {
		return
	}
	name := scentName(s)
	switch {
	case s.MaxPercent > 0 && s.Percent > s.MaxPercent*(1+1e-9):
		c.add(Stop, name, "the scent's own certificate", "%s is %.3g %%; its certificate allows %g %% in this kind of product.", name, s.Percent, s.MaxPercent)
	case s.MaxPercent == 0:
		c.add(Advice, name, practice, "No limit is given for %s. Take the most allowed in a body lotion from its certificate.", name)
	}
	if s.Percent > 1 {
		c.add(Advice, name, practice, "%.3g %% of scent is strong for something worn all over; 0.3 to 1 %% is usual.", s.Percent)
	}
	if c.area != blend.Body {
		c.add(Advice, name, practice, "Scent is best left out of products for %s.", areaWords[c.area])
	}
	if len(s.Allergens) == 0 {
		c.add(Advice, name, "Annex III, Regulation (EC) No 1223/2009 as amended by Regulation (EU) 2023/1545", "No allergens are listed for %s. Ask the supplier for the list: those over 0.001 %% of the product are named on the label.", name)
	}
	for _, a := range s.Allergens {
		if slices.ContainsFunc(rules.Banned, func(b string) bool { return strings.EqualFold(b, a.INCI) }) && a.Percent > 0 {
			c.add(Stop, name, "Annex II, Regulation (EC) No 1223/2009", "%s holds %s, which is prohibited in the EU.", name, a.INCI)
		}
	}
}

func scentName(s *Scent) string {
	if s.Name == "" {
		return "Scent"
	}
	return s.Name
}
