package search

import "math"

// maxParts is the most powders one solve can hold: four free ones and the
// must-use ones beside them.
const maxParts = 8

// quad is one step of the sequential solver: minimise ½ dᵀHd + gᵀd over
//
//	lo ≤ d ≤ hi,  sumLo ≤ Σd ≤ sumHi,  cost·d ≤ costHi
//
// from the feasible d = 0, by the primal active-set method (Nocedal and
// Wright, Numerical Optimization, algorithm 16.3). Everything lives in the
// struct, so nothing is allocated.
type quad struct {
	n            int
	h            [maxParts][maxParts]float64
	g            [maxParts]float64
	lo, hi       [maxParts]float64
	sumLo, sumHi float64
	cost         [maxParts]float64
	costHi       float64 // +Inf for no ceiling

	// The answer: the step and the multipliers of the two linear bounds.
	// A variable strictly inside its bounds has g + Hd = muSum + muCost·cost.
	d             [maxParts]float64
	muSum, muCost float64
	converged     bool
}

type boundState uint8

const (
	free boundState = iota
	atLo
	atHi
)

const (
	quadSteps = 400
	blandFrom = 40
)

// solve fills d, muSum and muCost.
func (q *quad) solve() {
	var state [maxParts]boundState
	q.d = [maxParts]float64{}
	q.muSum, q.muCost, q.converged = 0, 0, false
	scale := 0.0
	freeCount := 0
	q.snap()
	for i := 0; i < q.n; i++ {
		scale = math.Max(scale, math.Abs(q.g[i]))
		switch {
		case q.lo[i] >= 0:
			state[i] = atLo
		case q.hi[i] <= 0:
			state[i] = atHi
		default:
			freeCount++
		}
	}
	exact := q.sumLo == q.sumHi
	sumOn := exact || q.sumHi <= 0 || q.sumLo >= 0
	sumHigh := q.sumHi <= 0
	costOn := q.costHi <= 0
	// Each active linear bound needs a free variable to act on.
	for i := 0; i < q.n && freeCount < 1; i++ {
		if q.hi[i] > q.lo[i] {
			state[i] = free
			freeCount++
		}
	}
	if freeCount == 0 {
		q.converged = true
		return
	}
	if costOn && freeCount < 2 {
		costOn = false
	}
	tolerance := 1e-12 * (1 + scale)

	for iteration := 0; iteration < quadSteps; iteration++ {
		// Where several bounds meet in a point, steps of no length can go round
		// in a circle. Past blandFrom the first bound in order is taken instead
		// of the worst (Bland's rule), which cannot.
		bland := iteration >= blandFrom
		var r [maxParts]float64 // gradient at d
		for i := 0; i < q.n; i++ {
			r[i] = q.g[i]
			for j := 0; j < q.n; j++ {
				r[i] += q.h[i][j] * q.d[j]
			}
		}
		y, muSum, muCost := q.equalityStep(&state, sumOn, costOn, &r)
		q.muSum, q.muCost = muSum, muCost

		// The longest feasible part of the step, and what stops it.
		alpha, block, side := 1.0, -1, free
		sumY, costY, sumD, costD := 0.0, 0.0, 0.0, 0.0
		moved := 0.0
		for i := 0; i < q.n; i++ {
			sumD += q.d[i]
			costD += q.cost[i] * q.d[i]
			if state[i] != free {
				continue
			}
			sumY += y[i]
			costY += q.cost[i] * y[i]
			moved = math.Max(moved, math.Abs(y[i]))
			if y[i] < 0 {
				if a := (q.lo[i] - q.d[i]) / y[i]; a < alpha {
					alpha, block, side = a, i, atLo
				}
			} else if y[i] > 0 {
				if a := (q.hi[i] - q.d[i]) / y[i]; a < alpha {
					alpha, block, side = a, i, atHi
				}
			}
		}
		const blockSum, blockCost = maxParts, maxParts + 1
		if !sumOn {
			if sumY > 1e-15 {
				if a := (q.sumHi - sumD) / sumY; a < alpha {
					alpha, block, sumHigh = a, blockSum, true
				}
			} else if sumY < -1e-15 {
				if a := (q.sumLo - sumD) / sumY; a < alpha {
					alpha, block, sumHigh = a, blockSum, false
				}
			}
		}
		if !costOn && costY > 1e-15 {
			if a := (q.costHi - costD) / costY; a < alpha {
				alpha, block = a, blockCost
			}
		}
		if moved > 1e-12 {
			alpha = math.Max(alpha, 0)
			for i := 0; i < q.n; i++ {
				if state[i] == free {
					q.d[i] += alpha * y[i]
				}
			}
			switch {
			case block == blockSum:
				sumOn = true
				continue
			case block == blockCost:
				costOn = true
				continue
			case block >= 0:
				state[block] = side
				if side == atLo {
					q.d[block] = q.lo[block]
				} else {
					q.d[block] = q.hi[block]
				}
				continue
			}
			for i := 0; i < q.n; i++ {
				r[i] = q.g[i]
				for j := 0; j < q.n; j++ {
					r[i] += q.h[i][j] * q.d[j]
				}
			}
		}

		// At the best point of this face: is leaving it worth while?
		worst, leave := tolerance, -1
		for i := 0; i < q.n; i++ {
			if state[i] == free || q.hi[i] <= q.lo[i] {
				continue
			}
			reduced := r[i] - muSum - muCost*q.cost[i]
			if state[i] == atHi {
				reduced = -reduced
			}
			if -reduced > worst && !(bland && leave >= 0) {
				worst, leave = -reduced, i
			}
		}
		if sumOn && !exact {
			push := muSum
			if !sumHigh {
				push = -muSum
			}
			if push > worst && !(bland && leave >= 0) {
				worst, leave = push, blockSum
			}
		}
		if costOn && muCost > worst && !(bland && leave >= 0) {
			worst, leave = muCost, blockCost
		}
		switch {
		case leave < 0:
			q.converged = true
			return
		case leave == blockSum:
			sumOn = false
		case leave == blockCost:
			costOn = false
		default:
			state[leave] = free
		}
	}
}

// snap puts bounds that rounding has left a hair away onto the start.
func (q *quad) snap() {
	for i := 0; i < q.n; i++ {
		if q.lo[i] > -hair {
			q.lo[i] = 0
		}
		if q.hi[i] < hair {
			q.hi[i] = 0
		}
	}
	if q.sumLo > -hair {
		q.sumLo = 0
	}
	if q.sumHi < hair {
		q.sumHi = 0
	}
	if q.costHi < hair {
		q.costHi = 0
	}
}

// equalityStep minimises over the free variables with the active linear
// bounds held, by elimination on the KKT system.
func (q *quad) equalityStep(state *[maxParts]boundState, sumOn, costOn bool, r *[maxParts]float64) (y [maxParts]float64, muSum, muCost float64) {
	var index [maxParts]int
	m := 0
	for i := 0; i < q.n; i++ {
		if state[i] == free {
			index[m] = i
			m++
		}
	}
	// The ceiling says something of its own only where it is not a multiple of
	// the sum.
	independent := false
	for i := 0; i < m && costOn; i++ {
		c := q.cost[index[i]]
		independent = independent || sumOn && c != q.cost[index[0]] || !sumOn && c != 0
	}
	costOn = costOn && independent
	var a [maxParts + 2][maxParts + 3]float64
	size := m
	sumRow, costRow := -1, -1
	if sumOn {
		sumRow = size
		size++
	}
	if costOn {
		costRow = size
		size++
	}
	for i := 0; i < m; i++ {
		for j := 0; j < m; j++ {
			a[i][j] = q.h[index[i]][index[j]]
		}
		a[i][size] = -r[index[i]]
		if sumOn {
			a[i][sumRow], a[sumRow][i] = -1, 1
		}
		if costOn {
			c := q.cost[index[i]]
			a[i][costRow], a[costRow][i] = -c, c
		}
	}
	for k := 0; k < size; k++ {
		p := k
		for i := k + 1; i < size; i++ {
			if math.Abs(a[i][k]) > math.Abs(a[p][k]) {
				p = i
			}
		}
		if math.Abs(a[p][k]) < 1e-300 {
			continue // a redundant bound: its multiplier stays 0
		}
		a[k], a[p] = a[p], a[k]
		for i := k + 1; i < size; i++ {
			f := a[i][k] / a[k][k]
			if f == 0 {
				continue
			}
			for j := k; j <= size; j++ {
				a[i][j] -= f * a[k][j]
			}
		}
	}
	var x [maxParts + 2]float64
	for k := size - 1; k >= 0; k-- {
		if math.Abs(a[k][k]) < 1e-300 {
			continue
		}
		v := a[k][size]
		for j := k + 1; j < size; j++ {
			v -= a[k][j] * x[j]
		}
		x[k] = v / a[k][k]
	}
	// As many bounds as variables leave no room to move; what the elimination
	// has is rounding.
	for i := 0; i < m && size < 2*m; i++ {
		y[index[i]] = x[i]
	}
	if sumOn {
		muSum = x[sumRow]
	}
	if costOn {
		muCost = x[costRow]
	}
	return y, muSum, muCost
}
