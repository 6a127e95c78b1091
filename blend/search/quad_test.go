package search

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Whatever the quadratic, bounds, sum and ceiling, the step is feasible and
// meets the first-order conditions with the multipliers returned. The problem
// is convex, so these suffice.
func TestQuadKKT(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := &quad{n: rapid.IntRange(1, 6).Draw(t, "n")}
		number := rapid.Float64Range(-3, 3)
		positive := rapid.Float64Range(0, 2)
		// H = AᵀA + a little: positive definite.
		var a [maxParts][maxParts]float64
		for i := range q.n {
			for j := range q.n {
				a[i][j] = number.Draw(t, "a")
			}
		}
		for i := range q.n {
			for j := range q.n {
				for k := range q.n {
					q.h[i][j] += a[k][i] * a[k][j]
				}
			}
			q.h[i][i] += 0.01
			q.g[i] = 5 * number.Draw(t, "g")
			q.lo[i], q.hi[i] = -positive.Draw(t, "below"), positive.Draw(t, "above")
			// Bounds in touch, and fixed variables, come up often in practice.
			if rapid.IntRange(0, 3).Draw(t, "at low") == 0 {
				q.lo[i] = 0
			}
			if rapid.IntRange(0, 5).Draw(t, "at high") == 0 {
				q.hi[i] = 0
			}
			q.cost[i] = float64(rapid.IntRange(0, 40).Draw(t, "cost")) / 20
		}
		q.costHi = math.Inf(1)
		if rapid.Bool().Draw(t, "ceiling") {
			q.costHi = rapid.SampledFrom([]float64{0, 0.2, 2}).Draw(t, "room")
		}
		exact := rapid.Bool().Draw(t, "exact")
		if !exact {
			q.sumLo, q.sumHi = -positive.Draw(t, "sum below"), positive.Draw(t, "sum above")
			if rapid.IntRange(0, 2).Draw(t, "full") == 0 {
				q.sumHi = 0
			}
			if q.sumLo == q.sumHi {
				q.sumLo = -0.1
			}
		}
		q.solve()
		if !q.converged {
			t.Fatalf("not converged: %+v", q)
		}
		const tight = 1e-8
		sum, cost := 0.0, 0.0
		for i := range q.n {
			d := q.d[i]
			sum += d
			cost += q.cost[i] * d
			if d < q.lo[i]-tight || d > q.hi[i]+tight {
				t.Fatalf("d[%d] = %g outside %g to %g", i, d, q.lo[i], q.hi[i])
			}
			r := q.g[i] - q.muSum - q.muCost*q.cost[i]
			for j := range q.n {
				r += q.h[i][j] * q.d[j]
			}
			at := 1e-6
			switch {
			case q.hi[i]-q.lo[i] < tight:
			case d < q.lo[i]+tight && r < -at:
				t.Fatalf("d[%d] at its lower bound with slope %g", i, r)
			case d > q.hi[i]-tight && r > at:
				t.Fatalf("d[%d] at its upper bound with slope %g", i, r)
			case d > q.lo[i]+tight && d < q.hi[i]-tight && math.Abs(r) > at:
				t.Fatalf("d[%d] free with slope %g", i, r)
			}
		}
		if sum > q.sumHi+tight || sum < q.sumLo-tight || cost > q.costHi+tight {
			t.Fatalf("sum %g in %g to %g, cost %g of %g", sum, q.sumLo, q.sumHi, cost, q.costHi)
		}
		if q.muCost > tight || q.muCost < -tight && cost < q.costHi-tight {
			t.Fatalf("multiplier of the ceiling %g with %g to spare", q.muCost, q.costHi-cost)
		}
		if !exact && (q.muSum > tight && sum > q.sumLo+tight || q.muSum < -tight && sum < q.sumHi-tight) {
			t.Fatalf("multiplier of the sum %g at %g in %g to %g", q.muSum, sum, q.sumLo, q.sumHi)
		}
	})
}
