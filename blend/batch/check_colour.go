package batch

import (
	"fmt"
	"slices"
	"strings"

	"tawny/blend/batch/rules"
	"tawny/blend/jar"
	"tawny/blend/palette"
)

// areaWords names a place as a maker says it.
var areaWords = map[palette.Area]string{palette.Body: "the body", palette.Eyes: "the eye area", palette.Lips: "the lips"}

// colours checks that every colourant is allowed where it is worn and stays
// itself at the product's pH, and that no rule keeps a powder out of the product.
func (c *checker) colours() {
	if !slices.Contains(c.Base.Areas, c.Area) {
		say := "areas: " + list(append(slices.Clone(c.Base.Areas), c.Area))
		c.add(Fault, c.Base.Name, "the base's own file", "%s is not made for %s. Where a safety assessor finds that it may be worn there, write '%s' on a line of its recipe, or '# %s' above the rows of its CSV file.", c.Base.Name, areaWords[c.Area], say, say)
	}
	for _, part := range c.req.Parts {
		p := part.Pigment
		for _, b := range Bars(p, c.Base.Kind, c.Area) {
			more := ""
			if b.breathed {
				more = c.mayBeSprayed()
			}
			c.add(Stop, p.Name, b.Source, "%s %s.%s", p.Name, b.Words, more)
		}
		for _, col := range coloursOf(p) {
			if !col.Known() {
				c.add(Fault, p.Name, col.Source(), "%s in %s is not among the colour additives this tool knows: whether it may be worn, and where, is for its supplier to show and a safety assessor to say.", col.CI, p.Name)
			}
			if ph := c.Base.PH; ph.Stated() && c.Base.HasWater() {
				if col.PHLow > 0 && ph.Low < col.PHLow {
					c.add(Fault, p.Name, practice, "%s needs a pH of %g or more; this base is at %s: it %s.", col.Name(), col.PHLow, span(ph), col.Condition)
				}
				if col.PHHigh > 0 && ph.High > col.PHHigh {
					c.add(Fault, p.Name, practice, "%s needs a pH of %g or less; this base is at %s: it %s.", col.Name(), col.PHHigh, span(ph), col.Condition)
				}
			}
		}
		if slices.Contains(p.Assumed, string(c.Area)) {
			c.open("whether the jar of "+p.Name+" is fit for "+areaWords[c.Area], Advice, p.Name, practice, "That %s may be worn on %s follows from its list of ingredients alone, and powders for crafts have the same: its supplier must say that this jar is fit for it. Then 'tawny drawer edit' writes its areas down.", p.Name, areaWords[c.Area])
		}
		for _, s := range p.INCI {
			switch {
			case len(rules.ColoursByName(s.INCI)) > 0:
			case s.Percent >= 50:
				c.open(s.INCI, Advice, p.Name, "21 CFR parts 73 and 74", "%s is not among the colour additives this tool knows. Ask the supplier under which section it may be used, and where.", s.INCI)
			case !jar.Known(s.INCI) && !c.assessed(s.INCI):
				c.open(s.INCI, Advice, p.Name, practice, "%s, of %s, is not known to this tool and nothing of it was checked: is it spelt as on the jar? Ask the supplier whether it may be worn. %s", s.INCI, p.Name, onceAssessed(s.INCI))
			}
		}
	}
}

// Bar is a rule that keeps a powder out of a product, however little of it.
type Bar struct {
	Words  string // what follows on the powder's name
	Source string

	breathed bool
}

// Bars lists the rules that keep a powder out of a kind of product worn in an area.
func Bars(p *palette.Pigment, kind Kind, area palette.Area) (list []Bar) {
	if len(p.Areas) > 0 && !slices.Contains(p.Areas, area) {
		list = append(list, Bar{Words: "is not for " + areaWords[area] + " by its own row in the drawer", Source: "the drawer"})
	}
	for _, col := range coloursOf(p) {
		switch {
		case col.On(area):
		case !col.Known():
			list = append(list, Bar{Words: fmt.Sprintf("holds %s, and nothing known of it allows it on %s", col.CI, areaWords[area]), Source: col.Source()})
		default:
			words := fmt.Sprintf("holds %s, which may not be worn on %s in the US", col.Name(), areaWords[area])
			if area == palette.Lips && col.Body {
				words += " (its section says externally applied, and by 21 CFR 70.3(v) that leaves the lips out)"
			}
			list = append(list, Bar{Words: words, Source: col.Source()})
		}
	}
	if col := notBreathed(p); col != nil && kind.Sprayed() {
		words := fmt.Sprintf("holds %s: not for sale in the EU in a spray without an assessor, since it may be breathed", strings.ToLower(col.Name()))
		list = append(list, Bar{Words: words, Source: titaniaSource, breathed: true})
	}
	if size, percentile := tooCoarse(p); percentile != "" {
		words := fmt.Sprintf("has %s %.4g µm: outside the fineness of the mica colour additive, all of which must pass %d µm. It may not be used in a cosmetic under that rule; take a finer grade", percentile, size, fineness)
		list = append(list, Bar{Words: words, Source: finenessSource})
	}
	return list
}

const titaniaSource = "Annex III entry 321 of Regulation (EC) No 1223/2009, as amended by Regulation (EU) 2021/850"

// coloursOf lists a powder's colour additives, by its CI numbers and then by
// the names of its substances; each once.
func coloursOf(p *palette.Pigment) []*rules.Colour {
	var out []*rules.Colour
	add := func(c *rules.Colour) {
		if c != nil && !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	for _, ci := range p.CI {
		add(rules.ColourByCI(ci))
	}
	for _, s := range p.INCI {
		named := rules.ColoursByName(s.INCI)
		if slices.ContainsFunc(named, func(c *rules.Colour) bool { return slices.Contains(out, c) }) {
			continue // one of the oxides that share the name is there by its number
		}
		if len(named) > 0 {
			add(named[0])
		}
	}
	return out
}

// notBreathed is the colour additive of a powder, pigment or coat, that a spray
// must not hold; nil for none.
func notBreathed(p *palette.Pigment) *rules.Colour {
	for _, c := range coloursOf(p) {
		if !c.Spray {
			return c
		}
	}
	for _, l := range p.Layers {
		if m := strings.ToLower(l.Material); m == "rutile" || m == "anatase" {
			return rules.ColourByCI("CI 77891")
		}
	}
	return nil
}

// mayBeSprayed names powders of the drawer that a fine-mist pump may spray.
func (c *checker) mayBeSprayed() string {
	var names []string
	for _, p := range c.req.Drawer {
		if notBreathed(p) == nil && p.AllowedOn(c.Area) && !Clogs(p, c.req.NozzleUM) {
			names = append(names, p.Name)
		}
	}
	if len(names) == 0 {
		return ""
	}
	return " These of the drawer may be sprayed: " + strings.Join(names, ", ") + "."
}
