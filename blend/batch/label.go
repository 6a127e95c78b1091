package batch

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"tawny/blend/batch/rules"
)

// Label is the text of a label for each market.
type Label struct {
	EU LabelText `json:"eu"`
	US LabelText `json:"us"`
}

// LabelText is one market's: what to print, with blanks to fill in, and notes
// to the maker that are not printed.
type LabelText struct {
	Product     string   `json:"product"`     // what it is
	Net         string   `json:"net"`         // nominal content
	Ingredients string   `json:"ingredients"` // the list, with its heading
	Lines       []string `json:"lines"`       // batch code, durability, address …
	Cautions    []string `json:"cautions"`
	Guessed     []string `json:"guessed,omitempty"` // of Ingredients: whose place hangs on a guessed share
	Draft       []string `json:"draft,omitempty"`   // why it must not go on what is sold yet
	Notes       []string `json:"notes"`             // to the maker
	Source      string   `json:"source"`
}

// labelled is a product as its labels ask about it.
type labelled struct {
	product
	Colours      []*rules.Colour
	NewAllergens bool     // some must be named only since Regulation (EU) 2023/1545
	OrderUnsure  bool     // of a bought base with additions
	Guessed      []string // substances whose places hang on a guessed share
}

// Holds reports whether any of some colour index numbers is in it.
func (l labelled) Holds(ci ...string) bool {
	return slices.ContainsFunc(l.Colours, func(c *rules.Colour) bool { return slices.Contains(ci, c.CI) })
}

// Shake reports whether the shimmer settles.
func (l labelled) Shake() bool { return l.Suspension != nil && !l.Suspension.Holds }

func label(p product) *Label {
	subs, colours := composition(p.Batch)
	scentPercent := 0.0
	for _, l := range p.Weighings {
		if l.Has(RoleScent) {
			scentPercent += l.Weighed
		}
	}
	of := labelled{product: p, Colours: colours}
	list := of.ingredients(subs)
	eu := slices.Clone(list)
	for _, a := range allergensOf(p.req.Scent, scentPercent) {
		of.NewAllergens = of.NewAllergens || a.New()
		if !slices.ContainsFunc(eu, func(n string) bool { return strings.EqualFold(n, a.Label) }) {
			eu = append(eu, a.Label)
		}
	}
	us := slices.Clone(list)
	for i, n := range us {
		if in := rules.IngredientOf(n); in != nil {
			us[i] = cmp.Or(in.USName, n)
		}
	}
	var usColours, nameless []string
	for _, c := range colours {
		eu = append(eu, c.CI)
		name := of.usColour(c)
		if name == c.CI {
			nameless = append(nameless, name)
		}
		if !slices.Contains(usColours, name) {
			usColours = append(usColours, name)
		}
	}
	out := &Label{EU: of.text("label eu", eu), US: of.text("label us", append(us, usColours...))}
	if len(nameless) > 0 {
		out.US.Draft = append(out.US.Draft, "the US name of "+strings.Join(nameless, ", ")+", as its certified lot has it, is wanted")
	}
	for _, part := range p.req.Parts {
		for _, ci := range part.Pigment.CI {
			if !slices.Contains(part.Pigment.Assumed, ci) {
				continue
			}
			of := "what is"
			if c := rules.ColourByCI(ci); c != nil {
				of = "the " + strings.ToLower(c.INCI)
			}
			out.EU.Draft = append(out.EU.Draft, fmt.Sprintf("%s is assumed of %s in %s, whose jar gives no number", ci, of, part.Pigment.Name))
		}
	}
	out.EU.Net, out.US.Net = of.net()
	return out
}

// text is one market's label.
func (l labelled) text(name string, ingredients []string) LabelText {
	out := LabelText{Ingredients: "Ingredients: " + strings.Join(ingredients, ", "), Guessed: l.Guessed, Draft: l.draft()}
	for _, line := range tell(name, l) {
		switch what, text, _ := strings.Cut(line, ": "); what {
		case "source":
			out.Source = text
		case "product":
			out.Product = text
		case "line":
			out.Lines = append(out.Lines, text)
		case "caution":
			out.Cautions = append(out.Cautions, text)
		case "note":
			out.Notes = append(out.Notes, text)
		}
	}
	return out
}

// ingredients is the list without colourants.
func (l *labelled) ingredients(subs []substance) (list []string) {
	if l.Kind == Ready {
		list, sure := readyOrder(l.Base, subs)
		l.OrderUnsure = !sure
		return list
	}
	for _, s := range subs {
		list = append(list, s.inci)
		if s.unplaced(subs) {
			l.Guessed = append(l.Guessed, s.inci)
		}
	}
	return list
}

// draft is why the label must not go on what is sold yet: what in it is a guess, and
// what the checks found or left open.
func (l *labelled) draft() (why []string) {
	if len(l.Guessed) > 0 {
		why = append(why, "shares guessed, so check the place of "+strings.Join(l.Guessed, ", "))
	}
	if of := l.Assumed(); len(of) > 0 {
		why = append(why, "made of what is a guess: "+strings.Join(of, ", "))
	}
	if of := l.req.Open; len(of) > 0 {
		why = append(why, "not weighed: "+strings.Join(of, ", "))
	}
	var mend, open []string
	for _, f := range l.Findings {
		to, of := &open, f.Open
		if f.ToMend() {
			to, of = &mend, f.About
		}
		if of != "" && !slices.Contains(*to, of) {
			*to = append(*to, of)
		}
	}
	if len(mend) > 0 {
		why = append(why, "to mend before it is sold: "+strings.Join(mend, ", "))
	}
	if len(open) > 0 {
		why = append(why, "not known or not checked: "+strings.Join(open, ", "))
	}
	return why
}

// Assumed are the ingredients of whose substances only a trade name tells.
func (l labelled) Assumed() (names []string) {
	for _, w := range l.Weighings {
		if !w.Powder && strings.Contains(w.INCI, "~") {
			names = append(names, w.Name)
		}
	}
	return names
}

// usColour is a colour additive as a US label writes it: a certified dye by the name
// its jar gives, by its number where the jar gives none.
func (l *labelled) usColour(c *rules.Colour) string {
	if c.USName != "" {
		return c.USName
	}
	for _, p := range l.req.Parts {
		for _, s := range p.Pigment.INCI {
			if slices.Contains(rules.ColoursByName(s.INCI), c) && !strings.EqualFold(s.INCI, c.CI) {
				return s.INCI
			}
		}
	}
	return c.CI
}

// usFluidOunce is in ml (NIST Handbook 44, appendix C, from memory).
const usFluidOunce = 29.5735

// net is the content of a container: in the US fluid ounces of what pours and weight
// of what does not (21 CFR 701.13(b)), rounded down so as not to overstate, and each as
// exactly as the other (NIST Handbook 130, Uniform Packaging and Labeling Regulation, on
// rounding): ounces to two decimals, grams to three figures.
func (l *labelled) net() (eu, us string) {
	ml, pours := l.req.ContainerML, l.Base.pours()
	g := ml * l.DensityGML
	switch {
	case ml <= 0 && pours:
		return "____ ml", "____ FL OZ (____ mL)"
	case ml <= 0:
		return "____ ml", "NET WT ____ OZ (____ g)"
	case pours:
		us = fmt.Sprintf("%s FL OZ (%g mL)", downTo2(ml/usFluidOunce), ml)
	default:
		us = fmt.Sprintf("NET WT %s OZ (%g g)", downTo2(g/28.3495), down(g, max(0, 2-math.Floor(math.Log10(g)))))
	}
	return fmt.Sprintf("%g ml", ml), us
}

// down rounds down to so many decimals.
func down(v, decimals float64) float64 {
	by := math.Pow(10, decimals)
	return math.Floor(v*by+1e-9) / by
}

func downTo2(v float64) string { return fmt.Sprintf("%.2f", down(v, 2)) }
