package search

import (
	"context"
	"fmt"
	"math"
)

// Smallest says from what batch on a balance is fine enough for a blend.
type Smallest struct {
	BatchGrams float64 // g, the smallest batch whose rounding costs less than asked
	Rounded    Rounded // its weights
	// AlwaysGrams is the smallest batch from which on rounding costs less in
	// every larger size tried (see SteadySizes): below it sizes are lucky or not.
	AlwaysGrams float64
}

// SteadySizes is how many larger sizes in a row must hold before a batch
// counts as always large enough, each one balance step of powder more.
const SteadySizes = 60

// smallestSteps is the most balance steps of powder a batch is looked for at.
const smallestSteps = 20_000

// SmallestBatch finds the smallest batch for which weighing in whole steps
// costs less than under, in ΔE00 (0.2 is a usual choice). Sizes are tried a
// step of powder at a time, each at the batch that makes the load exact, to
// the nearest gram (tenth of a gram under 10 g).
func SmallestBatch(ctx context.Context, r Request, b Blend, stepGrams, under float64) (Smallest, error) {
	var s Smallest
	if !(under > 0) {
		return s, fmt.Errorf("rounding that costs less than ΔE00 %g; more than 0 is accepted", under)
	}
	if !(stepGrams > 0 && stepGrams <= 1000) {
		return s, fmt.Errorf("a balance of %g g steps; more than 0 and at most 1000 is accepted", stepGrams)
	}
	g, err := NewMixture(r, b.Parts)
	if err != nil {
		return s, err
	}
	load := 0.0
	for _, p := range b.Parts {
		load += p.Percent
	}
	if !(load > 0) {
		return s, fmt.Errorf("a blend of no powder has no smallest batch")
	}
	exact := math.Sqrt(g.Objective(Percents(b.Parts)))
	run, first := 0, 0.0
	var lastErr error
	for n := 1; n <= smallestSteps; n++ {
		grams := float64(n) * stepGrams * 100 / load
		unit := 1.0
		if grams < 10 {
			unit = 0.1
		}
		grams = math.Round(grams/unit) * unit
		if grams <= stepGrams {
			continue
		}
		enough := (exact + under) * (exact + under)
		if s.BatchGrams == 0 { // which is told with its best weights
			enough = 0
		}
		way, err := g.steps(ctx, b.Parts, grams, stepGrams, roundEvery/20, enough)
		if ctx.Err() != nil {
			return s, ctx.Err()
		}
		if err != nil || !(math.Sqrt(way.f)-exact < under) {
			lastErr = err
			run = 0
			continue
		}
		if s.BatchGrams == 0 {
			s.BatchGrams = grams
			if s.Rounded, err = way.rounded(b); err != nil {
				return s, err
			}
		}
		if run == 0 {
			first = grams
		}
		if run++; run >= SteadySizes {
			s.AlwaysGrams = first
			return s, nil
		}
	}
	if lastErr != nil {
		return s, lastErr
	}
	return s, fmt.Errorf("no batch up to %.3g g rounds to within ΔE00 %g on a balance of %g g steps", smallestSteps*stepGrams*100/load, under, stepGrams)
}
