package batch

import (
	"math"
	"slices"
	"sort"
	"strings"

	"tawny/blend/batch/rules"
)

// substance is one name of the ingredients list and its share of the product.
type substance struct {
	inci    string
	percent float64 // % w/w
	spread  float64 // % w/w: how far off that may be, where a supplier gives no share
}

// usualSpread is how far a mixture's usual share, or one estimated from a label,
// may be off, of the whole of it: suppliers' differ by a few per cent (a convention
// of this tool).
const usualSpread = 0.1

// unplaced reports whether a substance's place in the list hangs on a guess: it may
// be over anyOrder, and as much as another that may be.
func (s substance) unplaced(all []substance) bool {
	return s.spread > 0 && s.percent+s.spread > anyOrder && slices.ContainsFunc(all, func(t substance) bool {
		return t.inci != s.inci && t.percent+t.spread > anyOrder && math.Abs(s.percent-t.percent) <= (s.spread+t.spread)*(1+1e-9) // rounding decides no tie
	})
}

// composition sums the substances of a batch that are no colourants, largest
// first, and lists its colour additives.
func composition(b *Batch) (subs []substance, colours []*rules.Colour) {
	at := map[string]int{}
	add := func(inci string, percent, spread float64) {
		k := strings.ToLower(inci)
		i, ok := at[k]
		if !ok {
			i = len(subs)
			at[k] = i
			subs = append(subs, substance{inci: inci})
		}
		subs[i].percent += percent
		subs[i].spread += spread
	}
	for _, l := range b.Weighings {
		if l.Phase == PhaseBase {
			continue // a ready-made base's list has its own place
		}
		if l.Powder {
			cs := coloursOf(l.pigment)
			for _, c := range cs {
				if !slices.Contains(colours, c) {
					colours = append(colours, c)
				}
			}
		} else if l.subs == nil {
			add(l.INCI, l.Weighed, 0)
		}
		for _, s := range l.subs {
			percent, spread := s.Percent, 0.0
			switch {
			case l.Powder && len(rules.ColoursByName(s.INCI)) > 0:
				continue
			case s.Estimated:
				spread = 100 * usualSpread
			case percent == 0:
				spread = 100
				if !l.Powder { // a powder's are its colourants and traces
					percent = 100 / float64(len(l.subs))
				}
			}
			add(s.INCI, l.Weighed*percent/100, l.Weighed*spread/100)
		}
	}
	// Equal weights keep the order they were met in; a powder's own order is
	// as good as any.
	sort.SliceStable(subs, func(i, j int) bool { return subs[i].percent > subs[j].percent })
	sort.SliceStable(colours, func(i, j int) bool { return colours[i].CI < colours[j].CI })
	return subs, colours
}

// anyOrder is the share under which ingredients may stand in any order
// (Article 19(1)(g) of Regulation (EC) No 1223/2009; 21 CFR 701.3(f)(2)).
const anyOrder = 1.0

// readyOrder sets what was added to a bought base into its label's order. The
// base's own shares are not known, but whatever stands after a preservative
// limited to 1 % is itself at most that; so additions over 1 % go before the
// first such name and the others after.
func readyOrder(base *Base, added []substance) (list []string, sure bool) {
	var names []string
	for _, in := range base.Ingredients {
		for _, s := range in.Substances() {
			names = append(names, s.INCI)
		}
	}
	mark := len(names)
	for i, n := range names {
		if p := rules.PreservativeOf(n); p != nil && p.MaxPercent() <= anyOrder {
			mark = i
			break
		}
	}
	sure = true
	var large, small []string
	for _, s := range added {
		if slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, s.inci) }) {
			continue
		}
		if s.percent > anyOrder {
			large = append(large, s.inci)
			sure = false
		} else {
			small = append(small, s.inci)
		}
	}
	return slices.Concat(names[:mark], large, names[mark:], small), sure
}

// allergensOf lists the label names of a scent's allergens that pass 0.001 %
// of the leave-on product, each once, in Annex III's order.
func allergensOf(s *Scent, weighed float64) []*rules.Allergen {
	if s == nil {
		return nil
	}
	sum := map[*rules.Allergen]float64{}
	for _, a := range s.Allergens {
		if e := rules.AllergenOf(a.INCI); e != nil {
			sum[e] += weighed * a.Percent / 100
		}
	}
	var out []*rules.Allergen
	for _, e := range rules.Allergens() {
		if sum[e] > rules.AllergenLeaveOn*(1+1e-9) {
			out = append(out, e)
		}
	}
	return out
}
