package nnls

import (
	"math"
)

// dense is a bounded least squares problem as A and b, with one equality: what
// a Problem is made of and held to. Optional fields may be left out.
type dense struct {
	Rows, Cols int
	A          []float64 // Rows×Cols, column after column
	B          []float64 // Rows
	G          []float64 // Cols; nil for no equality
	C          float64   // the value of g·x
	Lo         []float64 // Cols, finite; nil for 0
	Hi         []float64 // Cols, at least Lo, +Inf allowed; nil for no upper bound
}

func (p *dense) lo(j int) float64 {
	if p.Lo == nil {
		return 0
	}
	return p.Lo[j]
}

func (p *dense) hi(j int) float64 {
	if p.Hi == nil {
		return math.Inf(1)
	}
	return p.Hi[j]
}

// column returns column j of A.
func (p *dense) column(j int) []float64 { return p.A[j*p.Rows : (j+1)*p.Rows] }

func dot(a, b []float64) float64 {
	sum := 0.0
	b = b[:len(a)]
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

func norm(a []float64) float64 { return math.Sqrt(dot(a, a)) }

// nonNegative returns a problem of n variables that may be 0 or more.
func nonNegative(n int) Problem {
	p := Problem{N: n, SumLo: math.Inf(-1), SumHi: math.Inf(1), CostHi: math.Inf(1)}
	for i := range p.Hi {
		p.Hi[i] = math.Inf(1)
	}
	return p
}

// normal returns the problem's normal matrices.
func normal(p *dense) *Problem {
	q := nonNegative(p.Cols)
	for i := range p.Cols {
		q.G[i] = -dot(p.column(i), p.B)
		for j := range p.Cols {
			q.H[i][j] = dot(p.column(i), p.column(j))
		}
	}
	return &q
}

// from moves the start of a problem from 0 to x, which is feasible for the
// bounds given.
func (p *Problem) from(x *Vector, lo, hi Vector, sumLo, sumHi float64) {
	size := 0.0
	for i := range p.N {
		for j := range p.N {
			p.G[i] += p.H[i][j] * x[j]
		}
		p.Lo[i], p.Hi[i] = lo[i]-x[i], hi[i]-x[i]
		sumLo -= x[i]
		sumHi -= x[i]
		size += math.Abs(x[i])
	}
	// What only rounding leaves.
	if math.Abs(sumLo) < 1e-14*size {
		sumLo = 0
	}
	if math.Abs(sumHi) < 1e-14*size {
		sumHi = 0
	}
	p.SumLo, p.SumHi = sumLo, sumHi
}

// even is the feasible point that shares a total out evenly above the lower
// bounds, as far as the upper ones let it; false where there is none.
func even(n int, lo, hi *Vector, total float64) (x Vector, ok bool) {
	rest := total
	for i := range n {
		x[i] = lo[i]
		rest -= lo[i]
	}
	for range 60 {
		roomy := 0
		for i := range n {
			if hi[i] > x[i] {
				roomy++
			}
		}
		if !(rest > 0) || roomy == 0 {
			break
		}
		share := rest / float64(roomy)
		for i := range n {
			add := min(share, hi[i]-x[i])
			if add > 0 {
				x[i] += add
				rest -= add
			}
		}
	}
	return x, math.Abs(rest) <= 1e-12*(1+math.Abs(total))
}

// totalled solves p with its variables' sum held at c from an even start.
func totalled(p *dense, c float64, x *Vector) (Multipliers, error) {
	q := normal(p)
	up := q.Hi
	start, ok := even(p.Cols, &Vector{}, &up, c)
	if !ok {
		return Multipliers{}, ErrInfeasible
	}
	q.from(&start, Vector{}, up, c, c)
	q.SumLo, q.SumHi = 0, 0
	mu, err := q.Solve(x)
	for i := range p.Cols {
		x[i] += start[i]
	}
	return mu, err
}

// optimality is how far a point is from meeting the Karush–Kuhn–Tucker
// conditions, each figure relative to the size of the numbers that made it, so
// that a minimiser found in double precision shows about 1e-15 whatever the
// units.
type optimality struct {
	Bound      float64 // farthest a variable lies outside its bounds, to the largest |x| or |Lo|
	Equality   float64 // |g·x − c|, to Σ|g x| + |c|
	Stationary float64 // steepest slope still open, to ‖a‖(‖b‖ + ‖a‖Σ max(|x|, |Lo|)) of the longest column a
}

// worst returns the largest of the three.
func (o optimality) worst() float64 { return max(o.Bound, o.Equality, o.Stationary) }

// kkt measures x, with the multiplier of the equality (0 without one), against
// the conditions that make it a minimiser: with w = Aᵀ(b − A x) − multiplier·g,
// w is 0 where x lies between its bounds, not positive at a lower bound and
// not negative at an upper one. The problem is convex, so they suffice.
func kkt(p *dense, x []float64, multiplier float64) (o optimality) {
	r := append([]float64(nil), p.B...)
	column, xMost, xSum := 0.0, 0.0, 0.0
	gx, gSize := 0.0, math.Abs(p.C)
	for j, v := range x {
		col := p.column(j)
		for i := range r {
			r[i] -= col[i] * v
		}
		column = max(column, norm(col))
		amount := max(math.Abs(v), math.Abs(p.lo(j)))
		xMost = max(xMost, amount)
		xSum += amount
		if p.G != nil {
			gx += p.G[j] * v
			gSize += math.Abs(p.G[j] * v)
		}
	}
	if p.G != nil {
		o.Equality = ratio(math.Abs(gx-p.C), gSize)
	}
	slope := column * (norm(p.B) + column*xSum)
	for j, v := range x {
		o.Bound = max(o.Bound, ratio(max(p.lo(j)-v, v-p.hi(j), 0), xMost))
		w := dot(p.column(j), r)
		if p.G != nil {
			w -= multiplier * p.G[j]
		}
		room := v - p.lo(j)
		if w > 0 {
			room = p.hi(j) - v
		}
		// A slope matters only as far as there is room to follow it.
		o.Stationary = max(o.Stationary, min(ratio(math.Abs(w), slope), ratio(max(room, 0), xMost)))
	}
	return o
}

// ratio is a/b, and 0 where a is 0 whatever b is.
func ratio(a, b float64) float64 {
	if a == 0 {
		return 0
	}
	return a / b
}
