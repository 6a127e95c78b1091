package batch

import (
	"fmt"
	"strings"

	"tawny/blend/palette"
)

// Step is one thing to do, with its weights in place.
type Step struct {
	Number   int          `json:"number"`
	Title    string       `json:"title"`
	Do       []string     `json:"do"` // sentences, in order
	TempC    Range        `json:"tempC"`
	Minutes  Range        `json:"minutes"`
	Weights  []StepWeight `json:"weights,omitempty"`
	Readings []Reading    `json:"readings,omitempty"` // to write down
}

// StepWeight is what goes in at a step: a whole weighing, or a part of one
// that is kept back for a later step. Over all steps a weighing's parts sum
// to it exactly, except where a premix goes in instead of a powder: that is
// more than the powder and there is as much less of its carrier. The steps
// together sum to the batch exactly.
type StepWeight struct {
	Line  int     `json:"line"` // index into Weighings
	Name  string  `json:"name"`
	Steps int64   `json:"steps"`
	Grams float64 `json:"grams"`
	Part  string  `json:"part,omitempty"` // "kept back", "rinse" …; empty for all of it
	// Premix is true where Name is the premix of the line's powder.
	Premix bool `json:"premix,omitempty"`
}

// Reading is a blank to fill in at the bench.
type Reading struct {
	What   string `json:"what"`
	Unit   string `json:"unit,omitempty"`
	Is     What   `json:"is,omitempty"`
	Asked  *Range `json:"asked,omitempty"`  // what the step asks for; 0 low is at most
	Value  string `json:"value,omitempty"`  // as it was written down
	Off    string `json:"off,omitempty"`    // what is asked, where that is something else
	Before string `json:"before,omitempty"` // of a pH that was set: what it was outside what is asked
}

// What tells a reading that others follow from.
type What string

// They are the marks of the steps' words.
const (
	IsPH        What = "ph"     // of the batch, the last of them
	IsEmptyPot  What = "pot"    // the main pot, g
	IsPotAndAll What = "all"    // the same with the batch in it, g
	IsMade      What = "made"   // the batch, g
	IsHeated    What = "before" // pot and water phase before they are heated, g
	IsLeft      What = "left"   // and after it, g
	IsAdded     What = "added"  // water to make that good, g
	IsFrom      What = "from"   // when holding hot began
	IsTo        What = "to"     // and ended
)

// workSteps are the steps in working order, told by their template from base
// and weights.
func workSteps(p product) []Step {
	w := newWork(p)
	kind := p.Kind
	if kind.Sprayed() {
		kind = Oil
	}
	var out []Step
	for _, line := range tell(string(kind)+" steps", w) {
		mark, rest, _ := strings.Cut(line, " ")
		if mark == "#" {
			out = append(out, Step{Number: len(out) + 1, Title: rest})
			continue
		}
		s := &out[len(out)-1]
		switch mark {
		case "min":
			s.Minutes = rangeOf(rest)
		case "°C":
			s.TempC = rangeOf(rest)
		case "+":
			s.Weights = append(s.Weights, w.put[rest]...)
		default:
			is, blank := strings.CutPrefix(mark, "?")
			if !blank {
				s.Do = append(s.Do, line)
				break
			}
			said := append(strings.Split(rest, " | "), "", "")
			r := Reading{What: said[0], Unit: said[1], Is: What(is)}
			if said[2] != "" {
				r.Asked = new(rangeOf(said[2]))
			}
			s.Readings = append(s.Readings, r)
		}
	}
	return out
}

// StirIn says how powders are added to a batch that is finished, by the words of the
// steps: what is no flake is rubbed down first.
func (k Kind) StirIn(powders []*palette.Pigment) []string {
	told := []string{} // a list for who reads it as JSON, of no powders too
	var plain, flakes []string
	for _, p := range powders {
		if isFlake(p) {
			flakes = append(flakes, p.Name)
		} else {
			plain = append(plain, p.Name)
		}
	}
	say := func(do string, names []string, as string) {
		if len(names) > 0 {
			told = append(told, do+" "+strings.Join(names, ", ")+". "+strings.Join(tell(as, map[string]string{"RubbedIn": "the batch, taken from the pot,", "PreWet": "a little of the batch"}), " "))
		}
	}
	say("Rub down", plain, "rub down")
	if k.wetted() {
		say("Wet", flakes, "wet into")
	} else {
		say("Stir in", flakes, "fold in")
	}
	return told
}

// rangeOf reads two numbers of the steps' own words.
func rangeOf(s string) (r Range) {
	if _, err := fmt.Sscan(s, &r.Low, &r.High); err != nil {
		panic(fmt.Errorf("%q: %w", s, err))
	}
	return r
}
