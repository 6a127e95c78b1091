package batch

import "fmt"

// lotion: two phases heated apart, combined, blended while cooling, then what
// heat would harm, then the powders. Figures are common practice: 70–75 °C,
// phases within 5 °C of each other, 20 minutes, cool-down below 40 °C.
func (w *work) lotion() {
	base := &w.req.Base
	hot := base.HeatC.Stated()
	cool := base.coolC()
	water, oil := w.phase(PhaseWater), w.phase(PhaseOil)

	w.makeReady()
	s := Step{Title: "Weigh the water phase", Weights: w.all(water), Minutes: Range{5, 10}, Readings: []Reading{{"pot and water phase weigh", "g"}}}
	s.Do = w.dispersing(water)
	w.add(s)
	if len(oil) > 0 {
		w.add(Step{Title: "Weigh the oil phase", Weights: w.all(oil), Minutes: Range{5, 10}, Do: []string{"Into its own pot."}})
	}
	if hot {
		s := Step{Title: "Heat both, apart and covered", TempC: base.HeatC, Minutes: Range{base.HoldMinutes, base.HoldMinutes},
			Do: []string{fmt.Sprintf("In a water bath bring both to %s °C, within 5 °C of each other.", span(base.HeatC))}}
		if base.HoldMinutes > 0 {
			s.Do = append(s.Do, fmt.Sprintf("Hold them there, covered, for %g minutes.", base.HoldMinutes))
		}
		s.Do = append(s.Do, "The oil phase must be clear, with nothing unmelted.")
		s.Readings = []Reading{{"water phase", "°C"}, {"oil phase", "°C"}, {"held from", "time"}, {"to", "time"}}
		w.add(s)
	}
	if w.b.TopUp != nil {
		w.add(Step{Title: "Make good the water lost", Do: []string{w.b.TopUp.Text},
			Readings: []Reading{{"pot and water phase weigh now", "g"}, {"boiled water added", "g"}}})
	}
	if len(oil) > 0 {
		s := Step{Title: "Combine", Minutes: Range{3, 5},
			Do: []string{"Pour the oil phase into the water phase in a thin stream, blending all the while.", "Blend in short bursts with the head kept under the surface, so that no air goes in."}}
		if hot {
			s.TempC = base.HeatC
		}
		w.add(s)
	}
	if hot {
		w.add(Step{Title: "Cool, stirring", TempC: Range{cool, base.HeatC.Low}, Minutes: Range{15, 40},
			Do:       []string{"Stir by hand all the time, with a short burst of the blender every few minutes until it thickens.", fmt.Sprintf("Stand the pot in cool water to go faster. Go on to below %g °C.", cool), "The emulsion must have formed: white, even, no oil at the edge."},
			Readings: []Reading{{"emulsion even", ""}, {"temperature", "°C"}}})
	}
	w.coolDown(cool)
	w.powders("the finished lotion, taken from the pot")
	if base.HasWater() {
		w.add(Step{Title: "Measure the pH", Do: []string{"Stir 1 g into 9 g of purified water and measure. This sample is not returned."},
			Readings: []Reading{{What: "pH, wanted " + span(base.PH)}, {"temperature", "°C"}}})
	}
	w.toWeight("If it is light, stir in boiled purified water, cooled, to the weight.")
	w.finish()
}

// dispersing says how the water phase goes together: a gum is wetted in the
// humectant first, or it clumps.
func (w *work) dispersing(lines []int) []string {
	gum, wet := "", ""
	for _, i := range lines {
		l := w.b.Weighings[i]
		if hasRole(l, RoleThickener) || hasRole(l, RoleSuspender) {
			gum = l.Name
		}
		if hasRole(l, RoleHumectant) {
			wet = l.Name
		}
	}
	switch {
	case gum != "" && wet != "":
		return []string{fmt.Sprintf("Stir %s into %s to a smooth slurry in the pot.", gum, wet), "Pour the water on it, stirring, then add the rest. Let it swell."}
	case gum != "":
		return []string{fmt.Sprintf("Sprinkle %s onto the moving water, a little at a time, and let it swell. Then the rest.", gum)}
	}
	return []string{"Into the main pot, water last."}
}
