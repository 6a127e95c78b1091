package batch

import (
	"errors"
	"math"
)

// apportion gives total steps to lines whose exact shares are quota (steps,
// summing to total within rounding), as whole numbers that sum to total
// exactly and never pass a line's limit (0: none).
//
// It minimises Σ (x−q)²/q: an error matters relative to the ingredient, so a
// preservative of 9 steps keeps its 9 and the water of 700 takes what is
// left, as a maker does by eye. The sum is of convex functions of one integer
// each, so moving from the free optimum one step at a time, always where it
// costs least, ends at the exact optimum (Gross 1956, from memory).
func apportion(quota []float64, limit []int64, total int64) ([]int64, error) {
	x := make([]int64, len(quota))
	sum := int64(0)
	for i, q := range quota {
		if !(q >= 0) || math.IsInf(q, 0) {
			return nil, errors.New("a share is not a weight")
		}
		x[i] = int64(math.Round(q))
		if l := cap64(limit, i); x[i] > l {
			x[i] = l
		}
		sum += x[i]
	}
	for sum != total {
		step := int64(1)
		if sum > total {
			step = -1
		}
		best, cost := -1, math.Inf(1)
		for i, q := range quota {
			n := x[i] + step
			if n < 0 || n > cap64(limit, i) || q == 0 {
				continue
			}
			// the rise of (x−q)²/q over this one step, and 2·step, the same for all
			if c := float64(2*step*x[i]+1) / q; c < cost {
				best, cost = i, c
			}
		}
		if best < 0 {
			return nil, errors.New("the weights cannot be made to sum to the batch")
		}
		x[best] += step
		sum += step
	}
	return x, nil
}

func cap64(limit []int64, i int) int64 {
	if limit == nil || limit[i] == 0 {
		return math.MaxInt64
	}
	return limit[i]
}
