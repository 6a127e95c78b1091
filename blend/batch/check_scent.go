package batch

import (
	"fmt"
	"slices"
	"strings"

	"tawny/blend/batch/rules"
	"tawny/blend/palette"
	"tawny/colour"
)

// Check refuses a scent that means nothing: a share out of bounds, an allergen
// no list knows (one misspelt would be lost from the label), or allergens that
// are more than the whole scent.
func (s *Scent) Check() error {
	if !finite(s.Percent) || s.Percent <= 0 || s.Percent > 20 {
		return fmt.Errorf("scent %s is %v %%; accepted: over 0 up to 20", s.Name, s.Percent)
	}
	if !finite(s.MaxPercent) || s.MaxPercent < 0 || s.MaxPercent > 100 {
		return fmt.Errorf("the limit of scent %s is %v %%; accepted: 0 (not known) to 100", s.Name, s.MaxPercent)
	}
	sum := 0.0
	for _, a := range s.Allergens {
		if !finite(a.Percent) || a.Percent < 0 || a.Percent > 100 {
			return fmt.Errorf("allergen %s is %v %% of the scent; accepted: 0 to 100", a.INCI, a.Percent)
		}
		if rules.AllergenOf(a.INCI) == nil && !banned(a.INCI) {
			return fmt.Errorf("%q is not on the list of scent allergens; nearest is %q; accepted: the names in Annex III as amended by Regulation (EU) 2023/1545 (what is not on it is not named on the label)", a.INCI, colour.Nearest(a.INCI, rules.AllergenNames()))
		}
		sum += a.Percent
	}
	if sum > 100*(1+1e-9) {
		return fmt.Errorf("the allergens are %.4g %% of scent %s; accepted: 100 together at most", sum, s.Name)
	}
	return nil
}

func banned(name string) bool {
	return slices.ContainsFunc(rules.Banned, func(b string) bool { return strings.EqualFold(b, strings.TrimSpace(name)) })
}

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
	if c.area != palette.Body {
		c.add(Advice, name, practice, "Scent is best left out of products for %s.", areaWords[c.area])
	}
	if len(s.Allergens) == 0 {
		c.add(Advice, name, "Annex III, Regulation (EC) No 1223/2009 as amended by Regulation (EU) 2023/1545", "No allergens are listed for %s. Ask the supplier for the list: those over 0.001 %% of the product are named on the label.", name)
	}
	if err := s.Check(); err != nil {
		c.add(Fault, name, "the scent's own certificate", "%v.", err)
	}
	for _, a := range s.Allergens {
		if banned(a.INCI) && a.Percent > 0 {
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
