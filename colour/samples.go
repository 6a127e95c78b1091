package colour

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// SampleError is a fault in one sample of a spectrum as it was written. Index
// is its place in the list, for a reader to name the line.
type SampleError struct {
	Index  int
	Reason string
}

func (e *SampleError) Error() string { return e.Reason }

// Leap is how many times its neighbours a reflectance may be. Nothing that is
// painted or worn rises fivefold in 10 or 20 nm and falls again, nor lies that
// far below both sides; a slipped decimal point is tenfold, and a fraction
// among per cent a hundredfold. A convention.
const Leap = 5.0

// CheckSamples looks through a reflectance as it was written, in fractions or
// in per cent, wavelengths (nm) in any order. A value that is not finite or is
// below 0, one more than [Leap] times its neighbours or less than that share of
// them, a change from fractions to per cent midway, and a gap over [MaxGapNM]
// are each a *[SampleError]. Values near black, under a two-hundredth of the
// largest, are not compared.
func CheckSamples(nm, value []float64) error {
	if len(nm) != len(value) || len(nm) == 0 {
		return fmt.Errorf("%d wavelengths and %d values; as many of each are accepted", len(nm), len(value))
	}
	largest := 0.0
	for i, v := range value {
		if !finite(nm[i]) || !finite(v) || v < 0 {
			return &SampleError{i, fmt.Sprintf("reflectance is %g at %g nm; 0 to 2 (0 to 200 per cent) is accepted", v, nm[i])}
		}
		largest = math.Max(largest, v)
	}
	order, gap := rising(nm)
	if gap != nil {
		return gap
	}
	at := func(k int) float64 { return math.Max(value[order[k]], math.Max(0.005, largest/200)) }
	for k := range order {
		low, high := math.Inf(1), 0.0 // of the neighbours
		for _, n := range []int{k - 1, k + 1} {
			if n >= 0 && n < len(order) {
				low, high = math.Min(low, at(n)), math.Max(high, at(n))
			}
		}
		if high > 0 && (at(k) > Leap*high || at(k) < low/Leap) && !leapsAt(order, at, k) {
			times := at(k) / high
			if at(k) < high {
				times = at(k) / low
			}
			i := order[k]
			return &SampleError{i, fmt.Sprintf("reflectance %g at %g nm is %.2g times its neighbours; within %g times is accepted", value[i], nm[i], times, Leap)}
		}
	}
	for k := 1; k < len(order); k++ {
		if i, j := order[k-1], order[k]; at(k) > 4*Leap*at(k-1) || at(k-1) > 4*Leap*at(k) {
			return &SampleError{j, fmt.Sprintf("reflectance %g at %g nm after %g at %g nm: fractions and per cent are mixed; one of them is accepted", value[j], nm[j], value[i], nm[i])}
		}
	}
	return nil
}

// rising returns the places of wavelengths in order, and the first gap within the grid
// that is too wide.
func rising(nm []float64) (order []int, gap error) {
	for i := range nm {
		order = append(order, i)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(nm[a], nm[b]) })
	for k := 1; k < len(order); k++ {
		i, j := order[k-1], order[k]
		if wide := nm[j] - nm[i]; wide > MaxGapNM && nm[j] > FirstNM && nm[i] < LastNM {
			return order, &SampleError{j, fmt.Sprintf("a gap of %g nm between %g and %g nm; at most %g nm is accepted", wide, nm[i], nm[j], MaxGapNM)}
		}
	}
	return order, nil
}

// leapsAt says whether the sample at place k is the first or last of a run that
// stands at another level, rather than one alone: the ends of a list have one
// neighbour only, and the one beyond it must agree with that.
func leapsAt(order []int, at func(int) float64, k int) bool {
	next, beyond := 1, 2
	if k == len(order)-1 {
		next, beyond = k-1, k-2
	} else if k != 0 {
		return false
	}
	if beyond < 0 || beyond >= len(order) {
		return true
	}
	ratio := at(next) / at(beyond)
	return ratio > Leap || ratio < 1/Leap
}
