package batch

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"tawny/blend/palette"
)

// Check explains every fault of a base, worst first, as it is worn and with
// the powders and scent of a request; the zero request checks it
// alone, worn on the body.
func Check(base Base, with Request) []Finding {
	with.Base = base
	b := &Batch{Area: cmp.Or(with.Area, palette.Body)}
	for _, in := range base.Ingredients {
		b.Weighings = append(b.Weighings, lineOf(in))
	}
	for _, p := range with.Parts {
		b.Weighings = append(b.Weighings, powderLine(p))
		b.AskedLoad += p.Percent
	}
	c := newChecker(product{b, &with.Base, &with})
	c.tell("sum")
	return c.run()
}

// checker gathers findings about one product.
type checker struct {
	product
	parts []part
	out   []Finding
}

// part is one substance of a line.
type part struct {
	palette.Ingredient
	line    *Weighing
	percent float64 // % w/w of the product; 0 where its share of the line is not known
}

func newChecker(p product) *checker {
	c := &checker{product: p}
	for i := range p.Weighings {
		l := &p.Weighings[i]
		subs := l.subs
		if l.Phase == PhaseBase && len(subs) == 0 { // of a bought base its label's names
			subs, _ = palette.ParseINCI(l.INCI)
		}
		for _, s := range subs {
			c.parts = append(c.parts, part{s, l, l.Percent * s.Percent / 100})
		}
	}
	return c
}

func (c *checker) run() []Finding {
	c.out = append(c.out, c.req.Held...)
	c.tell("water")
	c.known()
	c.preservatives()
	c.tell("emulsion")
	c.heat()
	c.tell("heat")
	c.oils()
	c.usual()
	c.colours()
	c.tell("load")
	c.grade()
	c.tell("scent")
	c.tell("ready")
	if c.req.PHWas != "" && c.Named(RolePH) == "" {
		c.add(Fault, "what set the pH", practice, "It was %s and is %s, and what was put in to set it is not written down: its list of ingredients lacks that. Write it with its grams.", c.req.PHWas, span(c.Base.PH))
	}
	slices.SortStableFunc(c.out, func(a, b Finding) int { return rank(a.Severity) - rank(b.Severity) })
	return c.out
}

func rank(s Severity) int { return slices.Index([]Severity{Stop, Fault, Advice, Note}, s) }

func (c *checker) add(s Severity, about, source, format string, a ...any) {
	f := Finding{Severity: s, About: about, Text: fmt.Sprintf(format, a...), Source: source}
	for _, in := range c.Base.Ingredients {
		if of := c.Base.Ingredients; in.Name == about && of[0].Line != of[len(of)-1].Line { // a recipe may be one line
			f.Line = in.Line
		}
	}
	c.out = append(c.out, f)
}

// open adds what is not known or not checked, which keeps a label a draft.
func (c *checker) open(what string, s Severity, about, source, format string, a ...any) {
	c.add(s, about, source, format, a...)
	c.out[len(c.out)-1].Open = what
}

// tell adds what the words find; after its severity stands what is left open.
func (c *checker) tell(name string) {
	for _, line := range tell("check "+name, c) {
		said := strings.SplitN(line, " | ", 4)
		severity, open, _ := strings.Cut(said[0], " ")
		c.open(open, Severity(severity), said[1], said[2], "%s", said[3])
	}
}

// What the words ask.

// SumIsOff reports whether the percentages do not make 100.
func (c *checker) SumIsOff() bool { return math.Abs(c.Base.Sum()-100) > sumTolerance/2 }

// FillerName is what can give way to powder, "" for nothing.
func (c *checker) FillerName() string {
	if i := c.Base.filler(""); i >= 0 {
		return c.Base.Ingredients[i].Name
	}
	return ""
}

// AreaWords is where the product is worn.
func (c *checker) AreaWords() string { return areaWords[c.Area] }

// OilPhase is the weight of the oils the emulsifiers have to hold: everything
// in the oil phase that is no emulsifier, % of the product.
func (c *checker) OilPhase() float64 {
	sum := 0.0
	for _, l := range c.Weighings {
		if l.Phase == PhaseOil && !l.Has(RoleEmulsifier) {
			sum += l.Percent
		}
	}
	return sum
}

// HLB is Griffin's sum over the emulsifiers by weight, 0 where one of them
// carries no number.
func (c *checker) HLB() float64 {
	weight, sum := 0.0, 0.0
	for _, l := range c.Weighings {
		if !l.Has(RoleEmulsifier) {
			continue
		}
		if l.hlb == 0 {
			return 0
		}
		weight += l.Percent
		sum += l.Percent * l.hlb
	}
	if weight == 0 {
		return 0
	}
	return sum / weight
}

// UsualLoad is the usual total of colourants of the base's kind, % w/w.
func (c *checker) UsualLoad() Range { return c.Base.Kind.UsualLoad() }

// UsualLoad is the usual total of colourants in a kind of product, % w/w
// (common practice).
func (k Kind) UsualLoad() Range {
	if k.Sprayed() {
		return Range{0.3, 1}
	}
	return Range{1, 5}
}

// Alcohol is the base's ethanol, % w/w.
func (c *checker) Alcohol() float64 { return c.Base.share(alcohol) }

// Added is what a bought base is given, % w/w of the finished product.
func (c *checker) Added() float64 {
	sum := c.AskedLoad
	if s := c.req.Scent; s != nil {
		sum += s.Percent
	}
	return sum
}

// TooMuchAdded reports whether that is more than the base's maker allows.
func (c *checker) TooMuchAdded() bool { return c.Added() > c.Base.MaxAddPercent*(1+1e-9) }

// Unadded is what of the finished product is the bought base, % w/w.
func (c *checker) Unadded() float64 { return 100 - c.Added() }

// heat checks that nothing is heated past its temperature.
func (c *checker) heat() {
	h := c.Base.HeatC
	if !h.Stated() {
		return
	}
	for _, l := range c.Weighings {
		if l.AddBelowC == 0 && slices.ContainsFunc(l.subs, func(s palette.Ingredient) bool { return scented(l.Name, s.INCI) }) {
			l.AddBelowC = scentRole.AddBelowC
		}
		if l.AddBelowC > 0 && l.AddBelowC < h.High && (l.Phase == PhaseWater || l.Phase == PhaseOil) {
			c.add(Fault, l.Name, practice, "%s goes in below %g °C but stands in the %s phase, heated to %g °C. Move it to the cool phase.", l.Name, l.AddBelowC, l.Phase, h.High)
		}
	}
}

// usual compares each ingredient with its supplier's range.
func (c *checker) usual() {
	oil := c.OilPhase()
	for _, l := range c.Weighings {
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
		low, high, to := Advice, Advice, "to do its work"
		if l.Has(RoleEmulsifier) {
			low, high, to = Fault, Fault, "to hold that much oil"
		}
		if l.Has(RolePreservative) && c.Base.HasWater() {
			low = Fault // its most is the law's
		}
		const eps = 1e-9
		switch {
		case p < l.usual.Low-eps:
			c.add(low, l.Name, "the supplier's range", "%s is %.3g %% of %s; its usual range is %s %%. That is too little %s.", l.Name, p, of, span(l.usual), to)
		case p > l.usual.High+eps:
			c.add(high, l.Name, "the supplier's range", "%s is %.3g %% of %s; its usual range is %s %%. That is more than it needs.", l.Name, p, of, span(l.usual))
		}
	}
}
