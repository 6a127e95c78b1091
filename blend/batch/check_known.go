package batch

import (
	"fmt"
	"slices"
	"strings"

	"tawny/blend/batch/rules"
)

// strongScent is the share of a scent or an essential oil over which it is too
// strong for something worn all over, % w/w (common practice: 0.3 to 1).
const strongScent = 1

// known stops what no product that stays on skin may hold, minds essential oils,
// and names every ingredient of which nothing could be checked.
func (c *checker) known() {
	var bought []string
	for _, s := range c.parts {
		l := s.line
		if l.Phase == PhasePowder || c.req.Scent != nil && l.Name == c.req.Scent.Called() {
			continue // which have checks of their own
		}
		barred := rules.BarredOf(s.INCI)
		switch {
		case barred != nil:
			c.add(Stop, l.Name, barred.Source(), "%s is not allowed here: %s.", barred.INCI, barred.Reason)
		case rules.PreservativeOf(s.INCI) != nil:
		case scented(l.Name, s.INCI) && s.percent > strongScent:
			c.add(Fault, l.Name, practice, "%s is scent, and %.3g %% of it all over the body may burn or sensitise: 0.3 to 1 %% is usual, of cinnamon, clove and citrus oils far less. Take the most allowed in a body lotion from its certificate.", s.INCI, s.percent)
		case scented(l.Name, s.INCI):
			c.open("the limit and the allergens of "+s.INCI, Advice, l.Name, practice, "%s is scent: take the most allowed in a body lotion from its certificate, and its allergens for the label. Out of the base and given as the batch's scent, it is checked against both.", s.INCI)
		case named(s.INCI) && (l.Phase != PhaseBase || isINCI(s.INCI)):
		case l.Phase != PhaseBase && len(rules.ColoursByName(s.INCI)) > 0:
			c.open(s.INCI, Advice, l.Name, practice, "%s is a colour, and inside a base nothing of it is checked or reckoned with: leave it out and add it as a powder.", s.INCI)
		case len(rules.ColoursByName(s.INCI)) > 0:
		case c.assessed(s.INCI):
			c.add(Note, l.Name, "the base's own file", "%s is not known to this tool and nothing of it was checked; the base says that a safety assessor has.", s.INCI)
		case l.Phase == PhaseBase:
			bought = append(bought, s.INCI)
		default:
			c.open(s.INCI, Advice, l.Name, practice, "%s is not known to this tool and nothing of it was checked: ask the supplier for its highest share in what stays on skin, what it does, and how hot it may get. %s", s.INCI, onceAssessed(s.INCI))
		}
	}
	if len(bought) > 0 {
		names := strings.Join(bought, ", ")
		c.open(names, Note, c.Base.Name, practice, "Not known to this tool, and not checked: %s. The base's maker answers for them. %s", names, onceAssessed(names))
	}
}

// assessed reports whether the base says that a safety assessor knows a substance.
func (c *checker) assessed(inci string) bool {
	return slices.ContainsFunc(c.Base.Assessed, func(n string) bool { return strings.EqualFold(n, inci) })
}

// onceAssessed says how to write that down.
func onceAssessed(names string) string {
	return fmt.Sprintf("Once a safety assessor has found that fit as it is here, write 'assessed: %s' on a line of the base's recipe, or with # before it above the rows of its CSV file.", names)
}

// isINCI reports whether a list may name a substance so, in the Union or the US.
func isINCI(name string) bool {
	known, _ := rules.Named(name)
	return known != nil && (strings.EqualFold(name, known.INCI) || strings.EqualFold(name, known.USName))
}

// scented reports whether a substance of an ingredient is an essential oil or another
// scent; the waters of such plants are not.
func scented(name, inci string) bool {
	known, _ := rules.Named(inci)
	switch {
	case known != nil:
		return slices.Contains(known.Roles, string(RoleScent))
	case watery(inci) || rules.PreservativeOf(inci) != nil:
		return false
	}
	return rules.AllergenOf(inci) != nil || strings.Contains(strings.ToLower(name), "essential oil")
}
