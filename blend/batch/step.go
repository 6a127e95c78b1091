package batch

import (
	"fmt"
	"strings"
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
	What string `json:"what"`
	Unit string `json:"unit,omitempty"`
}

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
		case "?":
			what, unit, _ := strings.Cut(rest, " | ")
			s.Readings = append(s.Readings, Reading{what, unit})
		default:
			s.Do = append(s.Do, line)
		}
	}
	return out
}

// rangeOf reads two numbers of the steps' own words.
func rangeOf(s string) (r Range) {
	if _, err := fmt.Sscan(s, &r.Low, &r.High); err != nil {
		panic(fmt.Errorf("%q: %w", s, err))
	}
	return r
}
