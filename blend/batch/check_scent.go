package batch

import (
	"cmp"
	"fmt"

	"tawny/blend/batch/rules"
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
		if rules.AllergenOf(a.INCI) == nil && rules.BarredOf(a.INCI) == nil {
			return fmt.Errorf("%q is not on the list of scent allergens; nearest is %q; accepted: the names in Annex III as amended by Regulation (EU) 2023/1545 (what is not on it is not named on the label)", a.INCI, colour.Nearest(a.INCI, rules.AllergenNames()))
		}
		sum += a.Percent
	}
	if sum > 100*(1+1e-9) {
		return fmt.Errorf("the allergens are %.4g %% of scent %s; accepted: 100 together at most", sum, s.Name)
	}
	return nil
}

// Scent is the product's, nil for none.
func (c *checker) Scent() *Scent { return c.req.Scent }

// OverLimit reports whether there is more of it than its certificate allows.
func (s *Scent) OverLimit() bool { return s.MaxPercent > 0 && s.Percent > s.MaxPercent*(1+1e-9) }

// Fault is what is wrong with it in words, "" for nothing.
func (s *Scent) Fault() string {
	if err := s.Check(); err != nil {
		return oneLine(err.Error())
	}
	return ""
}

// Prohibited reports whether the EU bans it.
func (a Allergen) Prohibited() bool { return a.Percent > 0 && rules.BarredOf(a.INCI) != nil }

// Called is its name.
func (s *Scent) Called() string { return cmp.Or(s.Name, "Scent") }
