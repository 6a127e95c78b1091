package batch

import (
	"cmp"
	"fmt"
	"slices"

	"tawny/blend/palette"
)

// work is what the steps of one batch are told from, and keeps account of
// what goes in where.
type work struct {
	product
	put map[string][]StepWeight // by name, as the steps ask for them

	Gum, Humectant string  // of the water phase
	Wetting        string  // the wetting oil
	Main           string  // the largest carrier
	Thin, Rinse    int64   // kept back of it for the slurry, balance steps
	Apart          int64   // kept apart of a bought base to rub colours down in, balance steps
	CoolC          float64 // what heat would harm goes in below
	Cooling        []cooling
	Premixes       []premixWork
}

// cooling is what goes in together below one temperature.
type cooling struct {
	Put string
	C   float64
	PH  bool // adjusts the pH
}

type premixWork struct {
	Premix
	Flake bool
}

func newWork(of product) *work {
	w := &work{product: of, put: map[string][]StepWeight{}, CoolC: cmp.Or(of.Base.CoolC, 40)} // 40 °C is common practice
	for _, p := range []Phase{PhaseWater, PhaseOil, PhaseWetting, PhasePowder} {
		w.put[string(p)] = w.all(w.phase(p))
	}
	for _, i := range w.phase(PhaseWater) {
		l := of.Weighings[i]
		if l.Has(RoleThickener) || l.Has(RoleSuspender) {
			w.Gum = l.Name
		}
		if l.Has(RoleHumectant) {
			w.Humectant = l.Name
		}
	}
	slices.SortStableFunc(w.put[string(PhaseWater)], func(a, b StepWeight) int { return w.turn(a) - w.turn(b) })
	for _, p := range of.Batch.Premixes {
		w.Premixes = append(w.Premixes, premixWork{p, isFlake(of.Weighings[p.PowderLine].pigment)})
	}
	w.powders()
	switch of.Kind {
	case Oil, Mist, Spray:
		w.slurry()
	case Ready:
		w.CoolC = 40 // common practice
		if most := of.Base.WarmMaxC; most > 0 {
			w.CoolC = min(most, 40)
		}
		main := w.phase(PhaseBase)[0]
		w.Apart = min(2*w.sum(w.put["plain"]), w.amount(main)/4)
		w.put["base"] = w.lessKept(main, w.Apart)
		w.put["kept apart"] = w.part(main, w.Apart, "kept apart")
	}
	w.coolDown()
	return w
}

// turn is when something of the water phase goes into the pot, as the step says: a gum
// into its humectant before the water, or onto the water; without a gum what brings the
// pot to its weight goes in last.
func (w *work) turn(sw StepWeight) int {
	l := w.Weighings[sw.Line]
	water := l.Filler || slices.ContainsFunc(l.subs, func(s palette.Ingredient) bool { return watery(s.INCI) })
	switch {
	case w.Gum == "" && water:
		return 1
	case w.Gum == "":
		return 0
	case l.Name == w.Humectant:
		return 0
	case l.Has(RoleThickener) || l.Has(RoleSuspender):
		return 2
	case water && w.Humectant == "":
		return 1
	case water:
		return 3
	}
	return 4
}

// powders splits the powders into flakes, ordinary pigments and those that go
// in as a premix.
func (w *work) powders() {
	for _, sw := range w.put[string(PhasePowder)] {
		kind := "plain"
		if sw.Premix {
			kind = "mixed"
		} else if isFlake(w.Weighings[sw.Line].pigment) {
			kind = "flakes"
		}
		w.put[kind] = append(w.put[kind], sw)
	}
}

// slurry keeps back from the largest carrier the slurry's own weight to thin
// it and half that to rinse, or as much as a third and a sixth of it.
func (w *work) slurry() {
	main, carrier := -1, phasesOf[w.Kind][0]
	for _, i := range w.phase(carrier) {
		if main < 0 || w.Weighings[i].Steps > w.Weighings[main].Steps {
			main = i
		}
	}
	if l := w.phase(PhaseWetting); len(l) > 0 {
		w.Wetting = w.Weighings[l[0]].Name
	}
	if main < 0 {
		return
	}
	if powders := w.put[string(PhasePowder)]; len(powders) > 0 {
		slurry, have := w.sum(powders)+w.sum(w.put[string(PhaseWetting)]), w.amount(main)
		w.Thin, w.Rinse = min(slurry, have/3), min(slurry/2, have/6)
	}
	w.Main = w.Weighings[main].Name
	for _, sw := range w.put[string(carrier)] {
		one := []StepWeight{sw}
		if sw.Line == main {
			one = w.lessKept(main, w.Thin+w.Rinse)
		}
		w.put["carrier"] = append(w.put["carrier"], one...)
	}
	for _, what := range []string{"kept back to wet", "kept back to thin"} {
		w.put[what] = w.part(main, w.Thin, what)
	}
	w.put["to rinse"] = w.part(main, w.Rinse, "to rinse")
}

// coolDown parts the cool-down lines by temperature. Each has its own limit,
// but never over the base's, since the pot has been cooled to that already.
func (w *work) coolDown() {
	for _, i := range w.phase(PhaseCool) {
		l := w.Weighings[i]
		g := cooling{C: w.CoolC, PH: l.Has(RolePH)}
		if l.AddBelowC > 0 {
			g.C = min(l.AddBelowC, w.CoolC)
		}
		g.Put = fmt.Sprintf("cool %g %t", g.C, g.PH)
		if n := len(w.Cooling); n == 0 || w.Cooling[n-1] != g {
			w.Cooling = append(w.Cooling, g)
		}
		w.put[g.Put] = append(w.put[g.Put], w.all([]int{i})...)
	}
}

// preWetG is how much of the humectant makes the flakes a paste, up to half of
// it (common practice: the other half wets the gum), g; 0 where there is none.
func (w *work) preWetG() float64 {
	need, have := 0.0, 0.0
	for _, sw := range w.put["flakes"] {
		oa, _ := oilAbsorption(w.Weighings[sw.Line].pigment)
		need += sw.Grams * oa / 100 * slurryFactor
	}
	for _, i := range w.phase(PhaseWater) {
		if w.Weighings[i].Name == w.Humectant {
			have = w.balance().Grams(w.amount(i)) / 2
		}
	}
	return min(need, have)
}

// PreWetFrom is what of the water phase may be kept back to wet flakes in, ""
// for nothing.
func (w *work) PreWetFrom() string {
	if g := w.preWetG(); w.Kind == Lotion && g >= minSteps*w.BalanceG {
		return fmt.Sprintf("about %s g of %s", sig2(g), oneLine(w.Humectant))
	}
	return ""
}

// PreWet is what flakes may be wetted in before they go into the pot.
func (w *work) PreWet() string {
	if w.Kind == Ready {
		return "a little of the base"
	}
	if from := w.PreWetFrom(); from != "" {
		return from + " kept back, or a little of the lotion"
	}
	return "a little of the lotion"
}

// RubbedIn is what plain colours are rubbed down with.
func (w *work) RubbedIn() string {
	if w.Kind == Ready {
		return "the base kept apart"
	}
	return "the finished lotion, taken from the pot,"
}

// Phase reports whether anything of a list goes in.
func (w *work) Phase(name string) bool { return len(w.put[name]) > 0 }

// amount is what is weighed of a line, in balance steps.
func (w *work) amount(line int) int64 {
	_, steps := w.toWeigh(line)
	return steps
}

// all is the whole of each given line that weighs anything.
func (w *work) all(lines []int) []StepWeight {
	var out []StepWeight
	for _, i := range lines {
		what := ""
		if w.brought(i) > 0 {
			what = "the rest is in the premix"
		}
		out = append(out, w.part(i, w.amount(i), what)...)
		if p := w.premixOf(i); p != nil {
			out[len(out)-1].Name, out[len(out)-1].Premix = p.Name(), true
		}
	}
	return out
}

// part is some of a line, nothing where it weighs nothing.
func (w *work) part(line int, steps int64, what string) []StepWeight {
	if steps <= 0 {
		return nil
	}
	return []StepWeight{{Line: line, Name: w.Weighings[line].Name, Steps: steps, Grams: w.balance().Grams(steps), Part: what}}
}

// lessKept is a line less what is kept of it for later.
func (w *work) lessKept(line int, kept int64) []StepWeight {
	what := ""
	if kept > 0 {
		what = "the rest"
	}
	if w.brought(line) > 0 {
		if what != "" {
			what += ", "
		}
		what += "less what the premix brings"
	}
	return w.part(line, w.amount(line)-kept, what)
}

// phase lists the lines of a phase; of the cool phase those with no limit or
// the hottest first, and what adjusts pH last, since everything before it
// moves the pH.
func (w *work) phase(p Phase) []int {
	var out []int
	for i, l := range w.Weighings {
		if l.Phase == p {
			out = append(out, i)
		}
	}
	if p != PhaseCool {
		return out
	}
	early := func(i int) float64 {
		limit := cmp.Or(w.Weighings[i].AddBelowC, 1e3)
		if w.Weighings[i].Has(RolePH) {
			return limit - 2e3
		}
		return limit
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(early(b), early(a)) })
	return out
}

// sum is what some weights are together, in balance steps.
func (w *work) sum(weights []StepWeight) int64 {
	s := int64(0)
	for _, sw := range weights {
		s += sw.Steps
	}
	return s
}
