package batch

import (
	"fmt"
	"slices"
	"strings"
)

// oil: the powder is wetted in castor oil (or the base's wetting oil) to a
// smooth slurry, thinned with some of the carrier, rinsed back into the rest,
// then what heat would harm. Common practice.
func (w *work) oil() {
	base := &w.req.Base
	carrier, wetting := w.phase(PhaseOil), w.phase(PhaseWetting)
	powders := w.phase(PhasePowder)

	w.makeReady()
	// Kept back from the largest carrier: the slurry's own weight to thin it
	// and half that to rinse, or as much as a third and a sixth of it.
	main := w.largest(carrier)
	var thin, rinse int64
	if len(powders) > 0 && main >= 0 {
		slurry := w.sum(powders) + w.sum(wetting)
		have := w.amount(main)
		thin = min(slurry, have/3)
		rinse = min(slurry/2, have/6)
	}
	s := Step{Title: "Weigh the carrier oils", Minutes: Range{5, 10}, Do: []string{"Into the main jug."}}
	for _, sw := range w.all(carrier) {
		if sw.Line == main {
			what := w.rest(thin + rinse)
			if sw.Part != "" {
				what = strings.Trim(what+", less what the premix brings", ", ")
			}
			s.Weights = append(s.Weights, w.part(main, sw.Steps-thin-rinse, what)...)
			continue
		}
		s.Weights = append(s.Weights, sw)
	}
	if thin > 0 {
		s.Do = append(s.Do, fmt.Sprintf("Weigh %s g of %s apart, to thin the slurry, and %s g more, to rinse.", w.b.Format(thin), w.b.Weighings[main].Name, w.b.Format(rinse)))
	}
	w.add(s)
	if base.HeatC.Stated() {
		h := Step{Title: "Warm and dissolve", TempC: base.HeatC, Minutes: Range{base.HoldMinutes, base.HoldMinutes},
			Do: []string{fmt.Sprintf("Warm the jug in a water bath to %s °C, stirring, until all is clear and even.", span(base.HeatC)), "Keep every drop of water out: dry the outside of the jug before pouring."}, Readings: []Reading{{"temperature", "°C"}}}
		if base.HoldMinutes > 0 {
			h.Do = append(h.Do, fmt.Sprintf("Hold for %g minutes.", base.HoldMinutes))
		}
		w.add(h)
		w.add(Step{Title: "Cool, stirring slowly", TempC: Range{base.coolC(), base.HeatC.Low}, Minutes: Range{20, 60},
			Do: []string{fmt.Sprintf("Stir slowly and without stopping to below %g °C; the gel builds as it cools.", base.coolC())}, Readings: []Reading{{"temperature", "°C"}}})
	}
	if len(powders) > 0 {
		w.wetPowders(wetting, powders, main, thin, rinse)
	} else if len(wetting) > 0 {
		w.add(Step{Title: "Add the wetting oil", Weights: w.all(wetting), Do: []string{"Stir in until even."}})
	}
	w.coolDown(base.coolC())
	if len(powders) > 0 {
		look := Step{Title: "Look for lumps", Minutes: Range{10, 15}, Do: []string{"Stir slowly for five minutes, let it stand for ten, and look at the bottom against a light. Lumps: press them out on a sieve and stir them back."}, Readings: []Reading{{What: "no lumps"}}}
		if w.b.Kind == Mist {
			look.Do = append(look.Do, "Pour it through a sieve finer than the nozzle's passage; what stays behind would block it.")
			look.Readings = append(look.Readings, Reading{"left on the sieve", "g"})
		}
		w.add(look)
	}
	w.toWeight("Nothing evaporates here: if it is light, something is still in a beaker. Rinse it back.")
	w.finish()
}

func (w *work) wetPowders(wetting, powders []int, main int, thin, rinse int64) {
	in := "the oil kept back"
	s := Step{Title: "Wet the powders", Minutes: Range{5, 10}, Weights: w.all(powders)}
	if len(wetting) > 0 {
		in = w.b.Weighings[wetting[0]].Name
		s.Weights = append(s.Weights, w.all(wetting)...)
	}
	s.Do = []string{"Mask on. Weigh the powders into the slurry pot.", "Work in " + in + " a little at a time with a spatula, pressing and turning rather than beating, to a smooth slurry with no dry powder.", "Let it stand five minutes and work it once more."}
	if slices.ContainsFunc(powders, func(i int) bool { return w.b.premixOf(i) != nil }) {
		s.Do = append(s.Do, "A premix goes in here too; its powder is not weighed again.")
	}
	if len(wetting) == 0 {
		s.Weights = append(s.Weights, w.part(main, thin, "kept back to wet")...)
	}
	s.Readings = []Reading{{What: "smear smooth, no specks"}}
	w.add(s)
	t := Step{Title: "Thin and rinse back", Minutes: Range{5, 5}}
	if len(wetting) > 0 {
		t.Do = append(t.Do, "Thin the slurry with the oil kept back, in three additions, until it pours.")
		t.Weights = append(t.Weights, w.part(main, thin, "kept back to thin")...)
	}
	t.Do = append(t.Do, "Pour it into the jug, stirring.", "Rinse the pot into the jug twice with the rinsing oil: powder left behind is colour lost.")
	t.Weights = append(t.Weights, w.part(main, rinse, "to rinse")...)
	w.add(t)
}

// rest is what to call the part of the carrier that is not kept back.
func (w *work) rest(kept int64) string {
	if kept == 0 {
		return ""
	}
	return "the rest"
}

// largest is the line with the most weight, -1 for none.
func (w *work) largest(lines []int) int {
	best := -1
	for _, i := range lines {
		if best < 0 || w.b.Weighings[i].Steps > w.b.Weighings[best].Steps {
			best = i
		}
	}
	return best
}

// coolC is the temperature cool-down items go in below; 40 °C is common
// practice.
func (b *Base) coolC() float64 {
	if b.CoolC > 0 {
		return b.CoolC
	}
	return 40
}
