package film

import "math"

// Gleam is how much lighter worn skin looks towards the lamp's mirror direction
// than square on: L* at 15° less L* at 45°.
func (l *Look) Gleam() float64 { return l.Angles[0].Lab.L - l.Angles[1].Lab.L }

// LeastGleam is the gleam under which worn skin is no shimmer. Half of observers
// see a ΔE00 of 0.6 side by side on light skin; half an L* on one arm is the
// least worth calling one (a convention of this tool).
const LeastGleam = 0.5

// GleamWord is a range of gleams with a name. The words and limits are this
// tool's own.
type GleamWord struct {
	Name   string
	Lo, Hi float64 // L*; Hi may be infinite
}

// GleamWords lists them from least to most.
var GleamWords = [4]GleamWord{
	{"soft", LeastGleam, 2},
	{"clear", 2, 6},
	{"bright", 6, 20},
	{"dazzling", 20, math.Inf(1)},
}

// NoGleam is the word for less than the least.
const NoGleam = "none"

// WordOfGleam returns the name of a gleam's range, NoGleam for less than the
// least.
func WordOfGleam(gleam float64) string {
	word := NoGleam
	for _, w := range GleamWords {
		if gleam >= w.Lo {
			word = w.Name
		}
	}
	return word
}
