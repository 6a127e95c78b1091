package nnls

import "math"

// Optimality is how far a point is from meeting the Karush–Kuhn–Tucker
// conditions, each figure relative to the size of the numbers that made it, so
// that a minimiser found in double precision shows about 1e-15 whatever the
// units.
type Optimality struct {
	Bound      float64 // farthest a variable lies outside its bounds, to the largest |x| or |Lo|
	Equality   float64 // |g·x − c|, to Σ|g x| + |c|
	Stationary float64 // steepest slope still open, to ‖a‖(‖b‖ + ‖a‖Σ max(|x|, |Lo|)) of the longest column a
}

// Worst returns the largest of the three.
func (o Optimality) Worst() float64 { return max(o.Bound, o.Equality, o.Stationary) }

// KKT measures x, with the multiplier of the equality (0 without one), against
// the conditions that make it a minimiser: with w = Aᵀ(b − A x) − multiplier·g,
// w is 0 where x lies between its bounds, not positive at a lower bound and
// not negative at an upper one. The problem is convex, so they suffice.
func KKT(p *Problem, x []float64, multiplier float64) (Optimality, error) {
	var o Optimality
	if err := p.check(); err != nil {
		return o, err
	}
	if len(x) != p.Cols {
		return o, ErrShape
	}
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
	return o, nil
}

// ratio is a/b, and 0 where a is 0 whatever b is.
func ratio(a, b float64) float64 {
	if a == 0 {
		return 0
	}
	return a / b
}
