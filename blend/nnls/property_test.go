package nnls

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// anyProblem draws problems with the awkward cases well represented: zero and
// repeated columns, b in the span, fewer rows than columns, unlike scales.
func anyProblem(t *rapid.T, maxCols int) *dense {
	p := &dense{
		Cols: rapid.IntRange(1, maxCols).Draw(t, "cols"),
		Rows: rapid.IntRange(1, 6).Draw(t, "rows"),
	}
	entry := rapid.OneOf(
		total(-64, 64),
		rapid.Map(rapid.IntRange(-2, 2), func(i int) float64 { return float64(i) }),
	)
	for j := 0; j < p.Cols; j++ {
		switch kind := rapid.IntRange(0, 9).Draw(t, "kind"); {
		case kind == 0:
			p.A = append(p.A, make([]float64, p.Rows)...)
		case kind == 1 && j > 0:
			p.A = append(p.A, p.column(rapid.IntRange(0, j-1).Draw(t, "twin"))...)
		default:
			scale := math.Pow(10, float64(rapid.IntRange(-2, 2).Draw(t, "scale")))
			for i := 0; i < p.Rows; i++ {
				p.A = append(p.A, scale*entry.Draw(t, "a"))
			}
		}
	}
	for i := 0; i < p.Rows; i++ {
		p.B = append(p.B, entry.Draw(t, "b"))
	}
	return p
}

// total draws 64ths, so that a problem is feasible or plainly not.
func total(least, most int) *rapid.Generator[float64] {
	return rapid.Map(rapid.IntRange(least, most), func(i int) float64 { return float64(i) / 64 })
}

// bruteForce returns the least ‖A x − b‖ over the problem's box and equality,
// by solving on every combination of each variable at a bound or free. It
// shares nothing with the code under test: Gauss–Jordan with complete pivoting
// on the KKT matrix, singular planes passed over.
func bruteForce(p *dense) (best float64, found bool) {
	n := p.Cols
	kinds := make([]int, n)
	best = math.Inf(1)
	x := make([]float64, n)
	for {
		ok := true
		for j, k := range kinds {
			x[j] = p.lo(j)
			if k == 2 {
				x[j] = p.hi(j)
				ok = ok && !math.IsInf(x[j], 1)
			}
		}
		if ok && solvePlane(p, kinds, x) {
			inside := true
			for j := range x {
				slack := 1e-13 * (1 + math.Abs(x[j]))
				inside = inside && x[j] >= p.lo(j)-slack && x[j] <= p.hi(j)+slack
			}
			if inside {
				if r := residualNorm(p, x); r < best {
					best, found = r, true
				}
			}
		}
		j := 0
		for ; j < n; j++ {
			kinds[j]++
			if kinds[j] < 3 {
				break
			}
			kinds[j] = 0
		}
		if j == n {
			return best, found
		}
	}
}

func residualNorm(p *dense, x []float64) float64 {
	r := append([]float64(nil), p.B...)
	for j, v := range x {
		for i, a := range p.column(j) {
			r[i] -= a * v
		}
	}
	return norm(r)
}

// solvePlane solves for the variables of kind 1, the others held.
func solvePlane(p *dense, kinds []int, x []float64) bool {
	var free []int
	r := append([]float64(nil), p.B...)
	c := p.C
	for j, k := range kinds {
		if k == 1 {
			free = append(free, j)
			continue
		}
		for i, a := range p.column(j) {
			r[i] -= a * x[j]
		}
		if p.G != nil {
			c -= p.G[j] * x[j]
		}
	}
	size := len(free)
	if p.G != nil {
		size++
	}
	if len(free) == 0 {
		return p.G == nil || math.Abs(c) < 1e-9
	}
	m := make([][]float64, size)
	for a := range m {
		m[a] = make([]float64, size+1)
		if a == len(free) {
			for b, j := range free {
				m[a][b] = p.G[j]
			}
			m[a][size] = c
			continue
		}
		for b, j := range free {
			m[a][b] = dot(p.column(free[a]), p.column(j))
		}
		if p.G != nil {
			m[a][len(free)] = p.G[free[a]]
		}
		m[a][size] = dot(p.column(free[a]), r)
	}
	at := make([]int, size) // which unknown each row solves for
	done := make([]bool, size)
	for range size {
		pr, pc, most := -1, -1, 1e-10
		for a := range m {
			for b := 0; b < size; b++ {
				if !done[a] && math.Abs(m[a][b]) > most {
					pr, pc, most = a, b, math.Abs(m[a][b])
				}
			}
		}
		if pr < 0 {
			return false
		}
		done[pr], at[pr] = true, pc
		for a := range m {
			if a == pr {
				continue
			}
			f := m[a][pc] / m[pr][pc]
			for b := range m[a] {
				m[a][b] -= f * m[pr][b]
			}
			m[a][pc] = 0
		}
	}
	for a := range m {
		if at[a] < len(free) {
			x[free[at[a]]] = m[a][size] / m[a][at[a]]
		}
	}
	return true
}

// holdToBruteForce checks an answer's residual and KKT conditions.
func holdToBruteForce(t *rapid.T, p *dense, x []float64, lambda, tol float64) {
	best, found := bruteForce(p)
	if !found {
		t.Fatalf("solved a problem brute force finds infeasible: %v", x)
	}
	got := residualNorm(p, x)
	if got > best+tol*(1+norm(p.B)) {
		t.Fatalf("residual %.15g, brute force %.15g; x = %v", got, best, x)
	}
	o := kkt(p, x, lambda)
	if o.Bound > 0 || o.Equality > 1e-14 || o.Stationary > 1e-13 {
		t.Fatalf("KKT %+v at %v", o, x)
	}
}

// Every problem of up to five variables, within a box, a range of totals and
// under a ceiling of cost, is solved as well as by trying each combination of
// variables at a bound or between.
func TestAgainstEveryFace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t, 5)
		q := normal(p)
		n := p.Cols
		lo, hi := q.Lo, q.Hi
		if rapid.Bool().Draw(t, "bounded") {
			for j := range n {
				lo[j] = rapid.SampledFrom([]float64{0, 0, 0.25}).Draw(t, "lo")
				hi[j] = lo[j] + rapid.SampledFrom([]float64{0, 0.3, 1, math.Inf(1)}).Draw(t, "width")
			}
		}
		sumLo, sumHi := math.Inf(-1), math.Inf(1)
		c := total(0, 192).Draw(t, "c")
		start, ok := even(n, &lo, &hi, c)
		switch rapid.IntRange(0, 2).Draw(t, "constraint") {
		case 0:
			start, ok = lo, true
		case 1:
			sumLo, sumHi = c, c
		default:
			sumLo, sumHi = c/2, c
			if least := sumOf(lo[:n]); !ok && least <= sumHi {
				start, ok = even(n, &lo, &hi, max(sumLo, least))
			}
		}
		p.Lo, p.Hi = append([]float64(nil), lo[:n]...), append([]float64(nil), hi[:n]...)
		if !math.IsInf(sumHi, 1) {
			p.G, p.C = ones(n), sumHi
		}
		if sumLo < sumHi && !math.IsInf(sumHi, 1) {
			// A slack column turns the range into an equality.
			p.Cols++
			p.A = append(p.A, make([]float64, p.Rows)...)
			p.G = append(p.G, 1)
			p.Lo, p.Hi = append(p.Lo, 0), append(p.Hi, sumHi-sumLo)
		}
		if !ok {
			if best, found := bruteForce(p); found {
				t.Fatalf("no start found, but brute force reaches %g", best)
			}
			return
		}
		q.from(&start, lo, hi, sumLo, sumHi)
		if sumLo == sumHi {
			q.SumLo, q.SumHi = 0, 0
		}
		var x Vector
		mu, err := q.Solve(&x)
		if err != nil {
			t.Fatal(err)
		}
		full := make([]float64, p.Cols)
		sum := 0.0
		for j := range n {
			full[j] = min(max(x[j]+start[j], lo[j]), hi[j])
			sum += full[j]
		}
		if p.Cols > n {
			full[n] = min(max(p.C-sum, 0), p.Hi[n])
		}
		holdToBruteForce(t, p, full, -mu.Sum, 1e-6)
	})
}

func sumOf(v []float64) (sum float64) {
	for _, x := range v {
		sum += x
	}
	return sum
}

// Whatever the quadratic, bounds, total and ceiling, the answer is feasible
// and meets the first-order conditions with the multipliers returned. The
// problem is convex, so these suffice.
func TestFirstOrderConditions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := &Problem{N: rapid.IntRange(1, 6).Draw(t, "n")}
		number := rapid.Float64Range(-3, 3)
		positive := rapid.Float64Range(0, 2)
		// H = AᵀA + a little: positive definite.
		var a [Most]Vector
		for i := range q.N {
			for j := range q.N {
				a[i][j] = number.Draw(t, "a")
			}
		}
		for i := range q.N {
			for j := range q.N {
				for k := range q.N {
					q.H[i][j] += a[k][i] * a[k][j]
				}
			}
			q.H[i][i] += 0.01
			q.G[i] = 5 * number.Draw(t, "g")
			q.Lo[i], q.Hi[i] = -positive.Draw(t, "below"), positive.Draw(t, "above")
			// Bounds in touch, and fixed variables, come up often in practice.
			if rapid.IntRange(0, 3).Draw(t, "at low") == 0 {
				q.Lo[i] = 0
			}
			if rapid.IntRange(0, 5).Draw(t, "at high") == 0 {
				q.Hi[i] = 0
			}
			q.Cost[i] = float64(rapid.IntRange(0, 40).Draw(t, "cost")) / 20
		}
		q.CostHi = math.Inf(1)
		if rapid.Bool().Draw(t, "ceiling") {
			q.CostHi = rapid.SampledFrom([]float64{0, 0.2, 2}).Draw(t, "room")
		}
		exact := rapid.Bool().Draw(t, "exact")
		if !exact {
			q.SumLo, q.SumHi = -positive.Draw(t, "sum below"), positive.Draw(t, "sum above")
			if rapid.IntRange(0, 2).Draw(t, "full") == 0 {
				q.SumHi = 0
			}
			if q.SumLo == q.SumHi {
				q.SumLo = -0.1
			}
		}
		var x Vector
		mu, err := q.Solve(&x)
		if err != nil {
			t.Fatalf("%v: %+v", err, q)
		}
		const tight = 1e-8
		sum, cost := 0.0, 0.0
		for i := range q.N {
			d := x[i]
			sum += d
			cost += q.Cost[i] * d
			if d < q.Lo[i]-tight || d > q.Hi[i]+tight {
				t.Fatalf("d[%d] = %g outside %g to %g", i, d, q.Lo[i], q.Hi[i])
			}
			r := q.G[i] - mu.Sum - mu.Cost*q.Cost[i]
			for j := range q.N {
				r += q.H[i][j] * x[j]
			}
			at := 1e-6
			switch {
			case q.Hi[i]-q.Lo[i] < tight:
			case d < q.Lo[i]+tight && r < -at:
				t.Fatalf("d[%d] at its lower bound with slope %g", i, r)
			case d > q.Hi[i]-tight && r > at:
				t.Fatalf("d[%d] at its upper bound with slope %g", i, r)
			case d > q.Lo[i]+tight && d < q.Hi[i]-tight && math.Abs(r) > at:
				t.Fatalf("d[%d] free with slope %g", i, r)
			}
		}
		if sum > q.SumHi+tight || sum < q.SumLo-tight || cost > q.CostHi+tight {
			t.Fatalf("sum %g in %g to %g, cost %g of %g", sum, q.SumLo, q.SumHi, cost, q.CostHi)
		}
		if mu.Cost > tight || mu.Cost < -tight && cost < q.CostHi-tight {
			t.Fatalf("multiplier of the ceiling %g with %g to spare", mu.Cost, q.CostHi-cost)
		}
		if !exact && (mu.Sum > tight && sum > q.SumLo+tight || mu.Sum < -tight && sum < q.SumHi-tight) {
			t.Fatalf("multiplier of the sum %g at %g in %g to %g", mu.Sum, sum, q.SumLo, q.SumHi)
		}
	})
}

// The residual is orthogonal to what is used and the answer does not move when
// the problem is turned, scaled or its columns reordered.
func TestTurningRowsChangesNothing(t *testing.T) {
	for seed := 1; seed <= 100; seed++ {
		p := drawn(seed, true)
		if p.Rows > 8 {
			continue
		}
		var x, y Vector
		if _, err := normal(p).Solve(&x); err != nil {
			t.Fatal(err)
		}
		// Turn rows 0 and 1 by a plane rotation and reverse the columns.
		q := &dense{Rows: p.Rows, Cols: p.Cols, B: append([]float64(nil), p.B...)}
		for j := p.Cols - 1; j >= 0; j-- {
			q.A = append(q.A, p.column(j)...)
		}
		turn := func(v []float64) {
			if len(v) > 1 {
				v[0], v[1] = 0.6*v[0]-0.8*v[1], 0.8*v[0]+0.6*v[1]
			}
		}
		turn(q.B)
		for j := 0; j < q.Cols; j++ {
			turn(q.column(j))
		}
		if _, err := normal(q).Solve(&y); err != nil {
			t.Fatal(err)
		}
		for j := range p.Cols {
			if d := math.Abs(x[j] - y[q.Cols-1-j]); d > 1e-10*(1+x[j]) {
				t.Errorf("seed %d: x[%d] %g, turned %g", seed, j, x[j], y[q.Cols-1-j])
			}
		}
	}
}
