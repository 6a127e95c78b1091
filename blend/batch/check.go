package batch

import (
	"fmt"
	"slices"

	"tawny/blend/palette"
)

// Use is what a base is checked for; the zero value checks the base alone,
// worn on the body.
type Use struct {
	Area     palette.Area
	Parts    []Part
	Scent    *Scent
	Extras   []Ingredient // percent of the finished product
	NozzleUM float64      // mist: smallest passage of the nozzle, µm; zero unknown
}

// Check explains every fault of a base, worst first.
func Check(base Base, use Use) []Finding {
	req := Request{Base: base, Parts: use.Parts, Scent: use.Scent, Area: use.Area, Extras: use.Extras, NozzleUM: use.NozzleUM}
	var lines []Weighing
	for _, in := range base.Ingredients {
		lines = append(lines, lineOf(in))
	}
	for _, e := range use.Extras {
		lines = append(lines, lineOf(e))
	}
	for _, p := range use.Parts {
		lines = append(lines, powderLine(p))
	}
	c := newChecker(&req, lines)
	c.sum()
	return c.run()
}

// checker gathers findings about the lines of one product.
type checker struct {
	req   *Request
	base  *Base
	lines []Weighing
	area  palette.Area
	out   []Finding
}

func newChecker(req *Request, lines []Weighing) *checker {
	c := &checker{req: req, base: &req.Base, lines: lines, area: req.Area}
	if c.area == "" {
		c.area = palette.Body
	}
	return c
}

func (c *checker) run() []Finding {
	c.water()
	c.preservatives()
	c.emulsion()
	c.heat()
	c.oils()
	c.usual()
	c.colours()
	c.load()
	c.grade()
	c.scent()
	c.ready()
	slices.SortStableFunc(c.out, func(a, b Finding) int { return rank(a.Severity) - rank(b.Severity) })
	return c.out
}

func rank(s Severity) int { return slices.Index([]Severity{Stop, Fault, Advice, Note}, s) }

func (c *checker) add(s Severity, about, source, format string, a ...any) {
	f := Finding{Severity: s, About: about, Text: fmt.Sprintf(format, a...), Source: source}
	for _, in := range c.base.Ingredients {
		if in.Name == about {
			f.Line = in.Line
		}
	}
	c.out = append(c.out, f)
}

// sum checks the total and that something can give way to powder.
func (c *checker) sum() {
	if c.base.Kind == Ready {
		return
	}
	if s := c.base.Sum(); s < 100-sumTolerance/2 || s > 100+sumTolerance/2 {
		c.add(Fault, "percent", practice, "The ingredients sum to %.4g %%, not 100. Mend the percentages, usually the %s's.", s, c.fillerName())
	}
	if c.base.filler("") < 0 {
		c.add(Advice, "filler", practice, "No ingredient is named as filler, so powder would thin everything, the preservative too. Name one with the key filler.")
	}
}

func (c *checker) fillerName() string {
	if i := c.base.filler(""); i >= 0 {
		return c.base.Ingredients[i].Name
	}
	return "largest ingredient"
}

// water checks what water makes necessary or impossible.
func (c *checker) water() {
	if !c.base.HasWater() {
		return
	}
	if c.base.Kind == Oil || c.base.Kind == Mist {
		c.add(Fault, "water", practice, "There is water in an oil: it will part and mould. Leave it out, or make a lotion.")
	}
	if !c.base.PH.Stated() {
		c.add(Fault, "ph", practice, "There is water but no pH is given. The preservative works only in its window: measure and write it down.")
	}
}

// heat checks that nothing is heated past its temperature.
func (c *checker) heat() {
	h := c.base.HeatC
	if !h.Stated() {
		return
	}
	for _, l := range c.lines {
		if l.AddBelowC > 0 && l.AddBelowC < h.High && (l.Phase == PhaseWater || l.Phase == PhaseOil) {
			c.add(Fault, l.Name, practice, "%s goes in below %g °C but stands in the %s phase, heated to %g °C. Move it to the cool phase.", l.Name, l.AddBelowC, l.Phase, h.High)
		}
	}
	if c.base.Kind == Lotion && h.Low < 65 {
		c.add(Advice, "heat_c", practice, "The phases are heated to only %g °C; 70–75 °C melts waxes wholly and cuts the germ count.", h.Low)
	}
	if h.High > 85 {
		c.add(Advice, "heat_c", practice, "%g °C is hotter than a lotion needs; 70–75 °C is usual, and water boils off fast above it.", h.High)
	}
}

// usual compares each ingredient with its supplier's range.
func (c *checker) usual() {
	oil := c.oilPhase()
	for _, l := range c.lines {
		if !l.usual.Stated() {
			continue
		}
		p, of := l.Percent, "the product"
		if l.usualOf == OfOil {
			if oil == 0 {
				continue
			}
			p, of = 100*l.Percent/oil, "the oils"
		}
		sev := Advice
		if hasRole(l, RoleEmulsifier) {
			sev = Fault
		}
		const eps = 1e-9
		switch {
		case p < l.usual.Low-eps:
			c.add(sev, l.Name, "the supplier's range", "%s is %.3g %% of %s; its usual range is %s %%. That is too little%s.", l.Name, p, of, span(l.usual), tooLittle(l))
		case p > l.usual.High+eps:
			c.add(sev, l.Name, "the supplier's range", "%s is %.3g %% of %s; its usual range is %s %%. That is more than it needs.", l.Name, p, of, span(l.usual))
		}
	}
}

func tooLittle(l Weighing) string {
	if hasRole(l, RoleEmulsifier) {
		return " to hold that much oil"
	}
	return " to do its work"
}
