package mend

import (
	"fmt"

	"tawny/colour"
)

// Pair is two colours of which a maker without an instrument says which is
// nearer to her batch: left or right.
type Pair struct {
	Left, Right Choice
	DeltaE00    float64 // of each from what is expected so far
}

// Choice is one side of a pair.
type Choice struct {
	Words string     `json:"words"` // how it differs from what is expected so far: "darker"
	Lab   colour.Lab `json:"lab"`
}

// A round asks of lightness, red and yellow in turn. What is known of an axis is
// taken as a normal distribution, at first of firstSpread ΔE00 (common practice:
// batches that are mended are 2 to 4 off); one answer leaves half of it, whose
// mean and spread are those of the half-normal distribution.
const (
	firstSpread = 3.0
	halfMean    = 0.798 // √(2/π)
	halfSpread  = 0.603 // √(1−2/π)
	// MostAnswers is four rounds: after them the eye tells no more.
	MostAnswers = 12
	round       = 3
)

// Nearer follows answers, each "l" or "r" or "s" of two as near, from a colour
// that was expected, and returns where they lead and the pair to ask of next;
// whole tells that the answers make whole rounds.
func Nearer(expected colour.Lab, answers []string) (at colour.Lab, next Pair, whole bool, err error) {
	if !expected.Finite() {
		return at, next, false, fmt.Errorf("no pair lies about %v", expected)
	}
	if len(answers) > MostAnswers {
		return at, next, false, fmt.Errorf("%d answers; at most %d are accepted", len(answers), MostAnswers)
	}
	at = expected
	spread := firstSpread
	for i := 0; ; i++ {
		if i > 0 && i%round == 0 {
			spread *= halfSpread
		}
		next = pairAbout(at, i%round, spread)
		if i == len(answers) {
			return at, next, i > 0 && i%round == 0, nil
		}
		switch answers[i] {
		case "l":
			at = at.Towards(next.Left.Lab, halfMean)
		case "r":
			at = at.Towards(next.Right.Lab, halfMean)
		case "s":
		default:
			return at, next, false, fmt.Errorf("answer %d is %q; l (left), r (right) or s (as near) is accepted", i+1, answers[i])
		}
	}
}

// pairAbout returns the two colours a step of ΔE00 from the middle on an axis of
// L*, a* and b*, or as far as there are colours.
func pairAbout(middle colour.Lab, axis int, step float64) Pair {
	words := [3]colour.Pair{colour.LightnessWords, {Up: "redder", Down: "greener"}, {Up: "yellower", Down: "bluer"}}[axis]
	move := func(by float64) colour.Lab {
		c := middle
		*[3]*float64{&c.L, &c.A, &c.B}[axis] += by
		c.L = max(0, min(100, c.L))
		return c
	}
	down := func(by float64) colour.Lab { return move(-by) }
	return Pair{Choice{words.Down, stepped(middle, step, down)}, Choice{words.Up, stepped(middle, step, move)}, step}
}

// stepped returns the colour a step of ΔE00 from another on a way from it, or as
// far as there are colours.
func stepped(from colour.Lab, step float64, way func(by float64) colour.Lab) colour.Lab {
	low, high := 0.0, 60.0
	for range 50 {
		if middle := (low + high) / 2; colour.DeltaE00(from, way(middle)) < step {
			low = middle
		} else {
			high = middle
		}
	}
	return way(high)
}
