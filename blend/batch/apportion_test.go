package batch

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Against every other way of sharing out the steps: none has a smaller
// Σ (x−q)²/q.
func TestApportionIsOptimal(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(r, "n")
		total := int64(rapid.IntRange(1, 24).Draw(r, "total"))
		w := make([]float64, n)
		sum := 0.0
		for i := range w {
			w[i] = rapid.Float64Range(0.01, 1).Draw(r, "w")
			sum += w[i]
		}
		limit := make([]int64, n)
		for i := range w {
			w[i] *= float64(total) / sum
			if i > 0 && rapid.Bool().Draw(r, "limited") {
				limit[i] = int64(math.Floor(w[i])) + 1
			}
		}
		x, err := apportion(w, limit, total)
		if err != nil {
			r.Fatal(err)
		}
		got, best := cost(w, x), math.Inf(1)
		every(w, limit, total, make([]int64, 0, n), func(y []int64) { best = min(best, cost(w, y)) })
		if got > best+1e-9 {
			r.Fatalf("%v for %v costs %v, best is %v", x, w, got, best)
		}
	})
}

// Limits that do not reach for the total, a share that is no weight, and one of
// nothing, which takes nothing.
func TestApportionRefuses(t *testing.T) {
	for _, c := range []struct {
		quota []float64
		limit []int64
		total int64
		want  string
	}{
		{[]float64{2, 2}, []int64{1, 2}, 4, "cannot be made to sum"},
		{[]float64{0, 0}, nil, 1, "cannot be made to sum"},
		{[]float64{-1, 2}, nil, 1, "not a weight"},
		{[]float64{math.NaN(), 2}, nil, 1, "not a weight"},
		{[]float64{math.Inf(1), 2}, nil, 1, "not a weight"},
	} {
		if x, err := apportion(c.quota, c.limit, c.total); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v within %v: %v, %v", c.quota, c.limit, x, err)
		}
	}
	if x, err := apportion([]float64{0, 1, 2}, []int64{0, 1, 2}, 3); err != nil || !slices.Equal(x, []int64{0, 1, 2}) {
		t.Errorf("%v, %v", x, err)
	}
}

func cost(q []float64, x []int64) float64 {
	s := 0.0
	for i := range q {
		d := float64(x[i]) - q[i]
		s += d * d / q[i]
	}
	return s
}

// every calls f with each way to share left steps over what remains.
func every(q []float64, limit []int64, left int64, done []int64, f func([]int64)) {
	i := len(done)
	if i == len(q)-1 {
		if left <= cap64(limit, i) {
			f(append(done, left))
		}
		return
	}
	for x := int64(0); x <= min(left, cap64(limit, i)); x++ {
		every(q, limit, left-x, append(done, x), f)
	}
}
