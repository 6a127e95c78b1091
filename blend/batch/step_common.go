package batch

import (
	"fmt"
	"slices"
	"strings"
)

// The steps every kind of base shares. All common practice.

func (w *work) makeReady() {
	s := Step{Title: "Make ready", Minutes: Range{15, 20}}
	s.Do = append(s.Do, "Clear and wash the bench. Write the batch code and date on this sheet and on a strip of tape for the pot.",
		"Spray tools, pots and bottles with 70 % alcohol, away from heat, and let them dry.")
	if !w.req.Base.HasWater() {
		s.Do = append(s.Do, "Everything must be bone dry: a drop of water in an oil lets mould grow.")
	}
	s.Do = append(s.Do, "Check each jar against the list: name, lot, best-before. Write the lots down.")
	s.Readings = []Reading{{What: "empty main pot weighs", Unit: "g"}}
	w.add(s)
	w.premixes()
}

// premixes makes them all, before anything of the batch is weighed.
func (w *work) premixes() {
	n := len(w.b.Premixes)
	if n == 0 {
		return
	}
	s := Step{Title: "Make the premix", Minutes: Range{5, 10 * float64(n)}}
	if n > 1 {
		s.Title = "Make the premixes"
	}
	s.Do = append(s.Do, "Mask on. Weigh from the jars, not from the weights of the batch.")
	for _, p := range w.b.Premixes {
		way := "Rub %g g of %s down with %g g of %s until a smear shows no specks."
		if isFlake(w.b.Weighings[p.powder].pigment) { // which grinding would break
			way = "Stir %g g of %s into %g g of %s, pressing and turning without grinding, until even."
		}
		s.Do = append(s.Do, fmt.Sprintf(way, p.PowderG, p.Powder, p.CarrierG, p.Carrier))
	}
	s.Do = append(s.Do, "Label what the batch leaves; use it the same day.")
	w.add(s)
}

// powderLines splits the powders into flakes, ordinary pigments and those that
// go in as a premix.
func (w *work) powderLines() (flakes, plain, mixed []int) {
	for _, i := range w.phase(PhasePowder) {
		switch {
		case w.b.premixOf(i) != nil:
			mixed = append(mixed, i)
		case isFlake(w.b.Weighings[i].pigment):
			flakes = append(flakes, i)
		default:
			plain = append(plain, i)
		}
	}
	return flakes, plain, mixed
}

// sortCool orders cool-down lines: hottest first, pH last.
func sortCool(ws []Weighing, lines []int) {
	slices.SortStableFunc(lines, func(a, b int) int {
		x, y := ws[a], ws[b]
		if px, py := hasRole(x, RolePH), hasRole(y, RolePH); px != py {
			if px {
				return 1
			}
			return -1
		}
		// no limit counts as hottest
		tx, ty := x.AddBelowC, y.AddBelowC
		switch {
		case tx == 0 && ty != 0:
			return -1
		case ty == 0 && tx != 0:
			return 1
		case tx > ty:
			return -1
		case tx < ty:
			return 1
		}
		return 0
	})
}

// coolDown adds the cool-down items, one step for each temperature.
func (w *work) coolDown(from float64) {
	lines := w.phase(PhaseCool)
	for start := 0; start < len(lines); {
		t := w.coolTemp(lines[start], from)
		end := start
		for end < len(lines) && w.coolTemp(lines[end], from) == t && hasRole(w.b.Weighings[lines[end]], RolePH) == hasRole(w.b.Weighings[lines[start]], RolePH) {
			end++
		}
		group := lines[start:end]
		s := Step{Title: fmt.Sprintf("Below %g °C, add", t), TempC: Range{0, t}, Weights: w.all(group), Minutes: Range{2, 5}}
		one := "Add one after the other, stirring each in before the next."
		switch {
		case hasRole(w.b.Weighings[group[0]], RolePH):
			s.Title = "Set the pH"
			s.Do = append(s.Do, "Add drop by drop, stirring, and measure as you go; note what is left over and make its weight up with boiled purified water.")
			s.Readings = append(s.Readings, Reading{What: "pH before"}, Reading{What: "pH after, wanted " + span(w.req.Base.PH)})
		case !w.heated():
			s.Title = "Add the cool phase"
			s.Do = append(s.Do, one)
		default:
			s.Do = append(s.Do, "Take the temperature first. "+one)
			s.Readings = append(s.Readings, Reading{"temperature", "°C"})
		}
		w.add(s)
		start = end
	}
}

// coolTemp is the temperature a cool-down line goes in below: its own limit,
// but never over the base's, since the pot has been cooled to that already.
func (w *work) coolTemp(line int, from float64) float64 {
	if t := w.b.Weighings[line].AddBelowC; t > 0 {
		return min(t, from)
	}
	return from
}

// heated reports whether any step warms the batch.
func (w *work) heated() bool {
	base := &w.req.Base
	return base.HeatC.Stated() || (base.Kind == Ready && !base.pours())
}

// powders rubs ordinary pigments down before they meet the bulk: they come in
// lumps that no spoon breaks, where flakes only need wetting.
func (w *work) powders(paste string) {
	flakes, plain, mixed := w.powderLines()
	if len(plain) > 0 {
		w.add(Step{Title: "Rub down the plain colours", Minutes: Range{5, 10}, Weights: w.all(plain),
			Do: []string{"Mask on.", "On a glass plate or in a small mortar rub the powders with about twice their weight of " + paste + " until a smear between two slides shows no specks.", "Scrape all of it back and stir in."}})
	}
	if len(mixed) > 0 {
		w.add(Step{Title: "Stir in the premix", Minutes: Range{2, 5}, Weights: w.all(mixed), Do: []string{"Weigh it onto the surface and fold it in until even. The powder itself is not weighed again."}})
	}
	if len(flakes) > 0 {
		w.add(Step{Title: "Stir in the shimmer", Minutes: Range{5, 10}, Weights: w.all(flakes),
			Do:       []string{"Mask on. Sift the powders onto the surface in three lots.", "Fold each in slowly with a spatula or a slow paddle. No stick blender or fast mixer: hard shear breaks the flakes and dulls them.", "Stop when a smear shows an even shimmer."},
			Readings: []Reading{{What: "smear even, no specks"}}})
	}
}

func (w *work) toWeight(what string) {
	w.add(Step{Title: "Check the weight", Readings: []Reading{{"pot and all weigh", "g"}, {"batch weighs, wanted " + w.b.Format(w.b.TotalSteps), "g"}},
		Do: []string{"Weigh the pot with everything in it and take off the empty pot. " + what}})
}

func (w *work) finish() {
	b := w.b
	f := b.Filling
	s := Step{Title: "Fill", Minutes: Range{}}
	s.Do = append(s.Do, "Method: "+f.Method+".")
	if f.KeepStirring {
		s.Do = append(s.Do, "Stir before every bottle: the flakes start to settle at once.")
	}
	if f.ContainerML > 0 {
		s.Do = append(s.Do, fmt.Sprintf("Fill %d × %g ml, %.1f g in each.", f.Filled, f.ContainerML, f.FillG))
		s.Readings = append(s.Readings, Reading{"first bottle", "g"}, Reading{"last bottle", "g"}, Reading{"number filled", ""})
	} else {
		s.Readings = append(s.Readings, Reading{"number filled", ""})
	}
	s.Readings = append(s.Readings, Reading{"left over", "g"})
	s.Do = append(s.Do, "Close with: "+f.Closure+".")
	w.add(s)
	w.add(Step{Title: "Label and keep samples", Do: []string{
		"Label every container with name, batch code and contents.",
		Keep + " Put a copy of this sheet with them."},
		Readings: []Reading{{What: "colour and smell as expected"}}})
}

// span writes a range without needless digits.
func span(r Range) string {
	if r.Low == r.High {
		return fmt.Sprintf("%g", r.High)
	}
	return strings.TrimSuffix(fmt.Sprintf("%g–%g", r.Low, r.High), "–")
}
