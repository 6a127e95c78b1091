package batch

import (
	"fmt"
	"strings"
)

// ready: a bought base has no phases: warm it gently or leave it cold, and
// stir in. Common practice.
func (w *work) ready() {
	base := &w.req.Base
	w.makeReady()
	lines := w.phase(PhaseBase)
	main := lines[0]
	_, plain, _ := w.powderLines()
	have := w.amount(main)
	paste := min(2*w.sum(plain), have/4)
	s := Step{Title: "Weigh the base", Minutes: Range{5, 10}, Do: []string{"Stir it in its own bucket first, then weigh it into the bowl."}}
	what := w.rest(paste)
	if w.b.brought(main) > 0 {
		what = strings.Trim(what+", less what the premix brings", ", ")
	}
	s.Weights = w.part(main, have-paste, what)
	if paste > 0 {
		s.Do = append(s.Do, fmt.Sprintf("Weigh %s g of it apart, to rub the plain colours down in.", w.b.Format(paste)))
	}
	s.Readings = []Reading{{What: "base lot"}, {What: "base opened on"}}
	w.add(s)
	if w.heated() {
		w.add(Step{Title: "Warm gently, only if it is stiff", TempC: Range{20, base.WarmMaxC}, Minutes: Range{0, 20},
			Do: []string{fmt.Sprintf("Most take powder cold. If it is too stiff to stir, stand the bowl in warm water; the maker's limit is %g °C.", base.WarmMaxC)}, Readings: []Reading{{"temperature", "°C"}}})
	}
	w.powders("the base kept apart")
	if paste > 0 {
		for i := range w.steps {
			if w.steps[i].Title == "Rub down the plain colours" {
				w.steps[i].Weights = append(w.steps[i].Weights, w.part(main, paste, "kept apart")...)
			}
		}
	}
	w.coolDown(min(base.WarmMaxC, 40))
	if base.HasWater() {
		w.add(Step{Title: "Measure the pH", Do: []string{"Stir 1 g into 9 g of purified water and measure. It should not have moved from the maker's figure."},
			Readings: []Reading{{What: "pH"}, {What: "the maker's figure"}}})
	}
	w.toWeight("Nothing should be missing: scrape the tools back in.")
	w.finish()
}
