package nnls

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// anyProblem draws problems with the awkward cases well represented: zero and
// repeated columns, b in the span, fewer rows than columns, unlike scales.
func anyProblem(t *rapid.T, maxCols int) *Problem {
	p := &Problem{
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
func bruteForce(p *Problem) (best float64, found bool) {
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

func residualNorm(p *Problem, x []float64) float64 {
	r := append([]float64(nil), p.B...)
	for j, v := range x {
		for i, a := range p.column(j) {
			r[i] -= a * v
		}
	}
	return norm(r)
}

// solvePlane solves for the variables of kind 1, the others held.
func solvePlane(p *Problem, kinds []int, x []float64) bool {
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
func holdToBruteForce(t *rapid.T, p *Problem, x []float64, lambda, tol float64) {
	best, found := bruteForce(p)
	if !found {
		t.Fatalf("solved a problem brute force finds infeasible: %v", x)
	}
	got := residualNorm(p, x)
	if got > best+tol*(1+norm(p.B)) {
		t.Fatalf("residual %.15g, brute force %.15g; x = %v", got, best, x)
	}
	o, err := KKT(p, x, lambda)
	if err != nil {
		t.Fatal(err)
	}
	if o.Bound > 0 || o.Equality > 1e-14 || o.Stationary > 1e-13 {
		t.Fatalf("KKT %+v at %v", o, x)
	}
}

func TestSolverAgainstEveryFace(t *testing.T) {
	s := NewSolver(6, 5)
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t, 5)
		if rapid.Bool().Draw(t, "bounded") {
			for range p.Cols {
				lo := float64(rapid.IntRange(-2, 2).Draw(t, "lo"))
				p.Lo = append(p.Lo, lo)
				p.Hi = append(p.Hi, lo+rapid.SampledFrom([]float64{0, 0.3, 1, math.Inf(1)}).Draw(t, "width"))
			}
		}
		if rapid.Bool().Draw(t, "equality") {
			for range p.Cols {
				p.G = append(p.G, rapid.SampledFrom([]float64{1, 1, 1, -1, 0, 0.5, 3}).Draw(t, "g"))
			}
			p.C = total(-192, 192).Draw(t, "c")
		}
		x := make([]float64, p.Cols)
		res, err := s.Solve(x, p)
		if errors.Is(err, ErrInfeasible) {
			if best, found := bruteForce(p); found {
				t.Fatalf("%v, but brute force reaches %g", err, best)
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		holdToBruteForce(t, p, x, res.Multiplier, 1e-9)
	})
}

func TestSmallAgainstEveryFace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyProblem(t, MaxSmall)
		q := smallOf(p)
		var x Vector
		var a Answer
		var err error
		p.G, p.C = ones(p.Cols), total(0, 192).Draw(t, "c")
		var box *Box
		if rapid.Bool().Draw(t, "bounded") {
			box = &Box{}
			p.Lo, p.Hi = make([]float64, p.Cols), make([]float64, p.Cols)
			for j := range p.Lo {
				p.Lo[j] = rapid.SampledFrom([]float64{0, 0, 0.25}).Draw(t, "lo")
				p.Hi[j] = p.Lo[j] + rapid.SampledFrom([]float64{0, 0.3, 1, math.Inf(1)}).Draw(t, "width")
				box.Lo[j], box.Hi[j] = p.Lo[j], p.Hi[j]
			}
		}
		switch kind := rapid.IntRange(0, 2).Draw(t, "constraint"); {
		case kind == 0 && box == nil:
			p.G = nil
			a, err = q.NonNegative(&x)
		case kind == 1:
			if box == nil {
				a, err = q.Total(p.C, &x)
			} else {
				a, err = q.TotalIn(box, p.C, &x)
			}
		default:
			lo, hi := p.C/2, p.C
			if box == nil {
				a, err = q.Between(lo, hi, &x)
			} else {
				a, err = q.BetweenIn(box, lo, hi, &x)
			}
			// A slack column turns the range into an equality.
			p.Cols++
			p.A = append(p.A, make([]float64, p.Rows)...)
			p.G = append(p.G, 1)
			if p.Lo == nil {
				p.Lo, p.Hi = make([]float64, p.Cols-1), make([]float64, p.Cols-1)
				for j := range p.Hi {
					p.Hi[j] = math.Inf(1)
				}
			}
			p.Lo, p.Hi = append(p.Lo, 0), append(p.Hi, hi-lo)
		}
		if errors.Is(err, ErrInfeasible) {
			if best, found := bruteForce(p); found && best < 1e12 {
				t.Fatalf("infeasible, but brute force reaches %g", best)
			}
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		full := append([]float64(nil), x[:q.N]...)
		if p.Cols > q.N {
			sum := 0.0
			for _, v := range full {
				sum += v
			}
			full = append(full, min(max(p.C-sum, 0), p.Hi[q.N]))
		}
		holdToBruteForce(t, p, full, a.Multiplier, 1e-6)
	})
}

// The residual is orthogonal to what is used and the answer does not move when
// the problem is turned, scaled or its columns reordered.
func TestTurningRowsChangesNothing(t *testing.T) {
	s := NewSolver(8, 8)
	for seed := 1; seed <= 100; seed++ {
		p := drawn(seed, true)
		if p.Rows > 8 {
			continue
		}
		x, y := make([]float64, p.Cols), make([]float64, p.Cols)
		if _, err := s.Solve(x, p); err != nil {
			t.Fatal(err)
		}
		// Turn rows 0 and 1 by a plane rotation and reverse the columns.
		q := &Problem{Rows: p.Rows, Cols: p.Cols, B: append([]float64(nil), p.B...)}
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
		if _, err := s.Solve(y, q); err != nil {
			t.Fatal(err)
		}
		for j := range x {
			if d := math.Abs(x[j] - y[q.Cols-1-j]); d > 1e-10*(1+x[j]) {
				t.Errorf("seed %d: x[%d] %g, turned %g", seed, j, x[j], y[q.Cols-1-j])
			}
		}
	}
}
