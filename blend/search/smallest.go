package search

import (
	"fmt"
	"math"

	"tawny/blend/film"
)

// SteadySizes is how many sizes in a row must hold before a batch counts as large
// enough, each one balance step of powder more.
const SteadySizes = 60

// smallestSteps is the most balance steps of powder a batch is looked for at.
const smallestSteps = 20_000

// FineFrom returns the batch, g, from which on weighing in whole steps costs no more
// than under, in ΔE00 (0.2 is a usual choice): below it sizes are lucky or not. Sizes
// are tried a step of powder at a time, each at the batch that makes the load exact, to
// the nearest gram (tenth of a gram under 10 g).
func FineFrom(r Request, parts []film.Part, stepGrams, under float64) (float64, error) {
	mix, err := NewMixture(r, parts)
	if err != nil {
		return 0, err
	}
	load := film.LoadOf(parts)
	enough := math.Sqrt(mix.Objective(Percents(parts))) + under
	enough *= enough
	run, first := 0, 0.0
	for n := 1; n <= smallestSteps; n++ {
		grams := float64(n) * stepGrams * 100 / load
		unit := 1.0
		if grams < 10 {
			unit = 0.1
		}
		grams = math.Round(grams/unit) * unit
		q, err := mix.steps(parts, grams, stepGrams, enough)
		if err != nil || q.f > enough {
			run = 0
			continue
		}
		if run == 0 {
			first = grams
		}
		if run++; run == SteadySizes {
			return first, nil
		}
	}
	return 0, fmt.Errorf("no batch up to %.3g g rounds to within ΔE00 %g on a balance of %g g steps", smallestSteps*stepGrams*100/load, under, stepGrams)
}
