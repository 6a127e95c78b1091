package nnls

import "math"

// MaxSmall is the most variables Small takes.
const MaxSmall = 5

// dependentSquare is the share of a column's square that must be left outside
// the span of the others: some hundreds of roundings, so that what is left is
// a number and not noise.
const dependentSquare = 1e-13

// Vector holds one number for each variable of a Small problem; those past N
// are not used.
type Vector [MaxSmall]float64

// Small is a least squares problem of at most MaxSmall variables as its normal
// matrices, so that ½xᵀG x − H·x = ½‖A x − b‖² − ½‖b‖². It holds no pointers
// and its methods allocate nothing.
//
// The answer is exact up to rounding: each method looks for a face of the
// feasible set whose own minimiser meets the KKT conditions, moving from face
// to face, and tries every face should that come round in a circle. Working on
// AᵀA halves the digits that survive: columns that agree to about six digits
// count as equal.
type Small struct {
	N int
	G [MaxSmall]Vector // AᵀA, both triangles
	H Vector           // Aᵀb
}

// Answer is what a Small problem's minimiser amounts to.
type Answer struct {
	Value      float64 // ½xᵀG x − H·x
	Multiplier float64 // of Σx where it is held, else 0: H_j − (G x)_j of the free variables
}

// Normal returns the normal matrices of columns A, each as long as b, weighted
// equally. At most MaxSmall columns are taken; more are ErrShape.
func Normal(b []float64, columns ...[]float64) (Small, error) {
	q := Small{N: len(columns)}
	if q.N > MaxSmall {
		return q, ErrShape
	}
	for i, a := range columns {
		if len(a) != len(b) {
			return q, ErrShape
		}
		q.H[i] = dot(a, b)
		for j := 0; j <= i; j++ {
			q.G[i][j] = dot(a, columns[j])
			q.G[j][i] = q.G[i][j]
		}
	}
	return q, nil
}

// NonNegative fills x with a minimiser over x ≥ 0.
func (q *Small) NonNegative(x *Vector) (Answer, error) { return q.solve(x, nil, false, 0) }

// Total fills x with a minimiser over x ≥ 0 with Σx = c, which holds to one
// rounding of the sum.
func (q *Small) Total(c float64, x *Vector) (Answer, error) { return q.solve(x, nil, true, c) }

// Between fills x with a minimiser over x ≥ 0 with lo ≤ Σx ≤ hi.
func (q *Small) Between(lo, hi float64, x *Vector) (Answer, error) {
	return q.between(lo, hi, nil, x)
}

// Box bounds each variable: Lo ≤ x ≤ Hi. The zero Box allows only 0.
type Box struct{ Lo, Hi Vector }

// TotalIn is Total within a box.
func (q *Small) TotalIn(b *Box, c float64, x *Vector) (Answer, error) {
	s, up, ok := q.shifted(b)
	if !ok {
		return Answer{}, ErrInfeasible
	}
	a, err := s.solve(x, &up, true, q.above(b, c))
	return q.back(b, x, a), err
}

// BetweenIn is Between within a box.
func (q *Small) BetweenIn(b *Box, lo, hi float64, x *Vector) (Answer, error) {
	s, up, ok := q.shifted(b)
	if !ok {
		return Answer{}, ErrInfeasible
	}
	a, err := s.between(q.above(b, lo), q.above(b, hi), &up, x)
	return q.back(b, x, a), err
}

// between solves with Σx free and, where that leaves [lo, hi], on the bound it
// passed: the problem is convex, so a minimiser lies there.
func (q *Small) between(lo, hi float64, up *Vector, x *Vector) (Answer, error) {
	if !(lo <= hi) || hi < 0 {
		return Answer{}, ErrInfeasible
	}
	a, err := q.solve(x, up, false, 0)
	if err != nil {
		return a, err
	}
	sum := 0.0
	for i := 0; i < q.N; i++ {
		sum += x[i]
	}
	switch {
	case sum < lo:
		return q.solve(x, up, true, lo)
	case sum > hi:
		return q.solve(x, up, true, hi)
	}
	return a, nil
}

// shifted moves the lower bounds to 0.
func (q *Small) shifted(b *Box) (s Small, up Vector, ok bool) {
	s = *q
	for i := 0; i < q.N; i++ {
		up[i] = b.Hi[i] - b.Lo[i]
		if !(up[i] >= 0) || !finite(b.Lo[i]) {
			return s, up, false
		}
		for j := 0; j < q.N; j++ {
			s.H[i] -= q.G[i][j] * b.Lo[j]
		}
	}
	return s, up, true
}

// above returns how far total lies above the sum of the lower bounds, and 0
// where the two differ by rounding only.
func (q *Small) above(b *Box, total float64) float64 {
	sum, size := 0.0, math.Abs(total)
	for i := 0; i < q.N; i++ {
		sum += b.Lo[i]
		size += math.Abs(b.Lo[i])
	}
	if d := total - sum; math.Abs(d) > 2*epsilon*MaxSmall*size {
		return d
	}
	return 0
}

// back undoes shifted.
func (q *Small) back(b *Box, x *Vector, a Answer) Answer {
	for i := 0; i < q.N; i++ {
		x[i] = min(x[i]+b.Lo[i], b.Hi[i])
	}
	a.Value = q.value(x)
	return a
}

func (q *Small) value(x *Vector) float64 {
	v := 0.0
	for i := 0; i < q.N; i++ {
		g := 0.0
		for j := 0; j < q.N; j++ {
			g += q.G[i][j] * x[j]
		}
		v += x[i] * (0.5*g - q.H[i])
	}
	return v
}

// face is one face of the feasible set: the variables between their bounds and
// those at the upper one, as bits; the rest are 0.
type face struct{ free, up uint8 }

// solve minimises over 0 ≤ x ≤ up (nil for no upper bound), with Σx = c when
// total is set.
func (q *Small) solve(x *Vector, up *Vector, total bool, c float64) (Answer, error) {
	n := q.N
	if n < 0 || n > MaxSmall {
		return Answer{}, ErrShape
	}
	for i := 0; i < n; i++ {
		if !finite(q.H[i]) || !finite(q.G[i][i]) {
			return Answer{}, ErrNotFinite
		}
	}
	if total {
		if err := feasible(n, up, c); err != nil {
			return Answer{}, err
		}
	}
	*x = Vector{}
	loose := uint8(0) // the variables with room to move
	for i := 0; i < n; i++ {
		if up == nil || up[i] > 0 {
			loose |= 1 << i
		}
	}
	if loose == 0 {
		return Answer{}, nil
	}
	// Walk: drop the most negative variable, or free the most wanted one.
	// Nearly every problem ends within N+2 faces. A variable dropped because
	// it depends on the free ones has nothing to add until one of those goes.
	f, barred := face{free: loose}, uint8(0)
	for tries := 0; tries < 3*MaxSmall && !(total && f.free == 0); tries++ {
		lambda, dependent := q.on(f, x, up, total, c)
		if dependent >= 0 {
			f.free &^= 1 << dependent
			barred |= 1 << dependent
			continue
		}
		if i := q.outside(f, x, up); i >= 0 {
			f.free &^= 1 << i
			if x[i] > 0 {
				f.up |= 1 << i
			}
			barred = 0
			continue
		}
		i := q.wanted(f, barred, lambda, x, up)
		if i < 0 {
			return finiteAnswer(q.value(x), lambda)
		}
		f.free |= 1 << i
		f.up &^= 1 << i
	}
	return q.every(loose, x, up, total, c)
}

// feasible says whether 0 ≤ x ≤ up allows Σx = c.
func feasible(n int, up *Vector, c float64) error {
	if !finite(c) {
		return ErrNotFinite
	}
	if c < 0 || n == 0 && c != 0 {
		return ErrInfeasible
	}
	if up == nil {
		return nil
	}
	most := 0.0
	for i := 0; i < n; i++ {
		most += up[i]
	}
	if c > most*(1+4*epsilon*MaxSmall) {
		return ErrInfeasible
	}
	return nil
}

// every tries all faces and keeps the feasible one of least value. Some
// minimiser lies on a face with a unique minimiser of its own (on any other
// face one can move along the flat direction to the edge), so faces without
// one are passed over. Where several faces share the least value at one point,
// one whose multiplier meets the KKT conditions is preferred.
func (q *Small) every(loose uint8, x *Vector, up *Vector, total bool, c float64) (Answer, error) {
	var best Answer
	var bestX Vector
	found, bestKKT := false, false
	bounded := uint8(0)
	for i := 0; i < q.N; i++ {
		if up != nil && !math.IsInf(up[i], 1) {
			bounded |= loose & (1 << i)
		}
	}
	for free := uint8(0); free < 1<<q.N; free++ {
		if total && free == 0 || free&^loose != 0 {
			continue
		}
		// Any of the rest that have an upper bound may be at it.
		rest := bounded &^ free
		for at := rest; ; at = (at - 1) & rest {
			if lambda, dependent := q.on(face{free, at}, x, up, total, c); dependent < 0 && q.within(free, x, up) {
				kkt := q.wanted(face{free, at}, 0, lambda, x, up) < 0
				if v := q.value(x); !found || kkt && !bestKKT || kkt == bestKKT && v < best.Value {
					best, bestX, found, bestKKT = Answer{v, lambda}, *x, true, kkt
				}
			}
			if at == 0 {
				break
			}
		}
	}
	*x = bestX
	if !found {
		return Answer{}, ErrSteps
	}
	return finiteAnswer(best.Value, best.Multiplier)
}

// finiteAnswer refuses what overflowed on the way.
func finiteAnswer(value, lambda float64) (Answer, error) {
	if !finite(value) || !finite(lambda) {
		return Answer{}, ErrNotFinite
	}
	return Answer{value, lambda}, nil
}

// within reports whether the free variables are inside their bounds, but for
// rounding, which it takes off.
func (q *Small) within(free uint8, x *Vector, up *Vector) bool {
	size := 0.0
	for i := 0; i < q.N; i++ {
		size = max(size, math.Abs(x[i]))
	}
	slack := 64 * epsilon * size
	for i := 0; i < q.N; i++ {
		if free>>i&1 == 0 {
			continue
		}
		if x[i] < -slack || up != nil && x[i] > up[i]+slack {
			return false
		}
		x[i] = max(x[i], 0)
		if up != nil {
			x[i] = min(x[i], up[i])
		}
	}
	return true
}

// outside returns the free variable farthest outside its bounds, or −1.
func (q *Small) outside(f face, x *Vector, up *Vector) int {
	worst, over := -1, 0.0
	for i := 0; i < q.N; i++ {
		if f.free>>i&1 == 0 {
			continue
		}
		if -x[i] > over {
			worst, over = i, -x[i]
		}
		if up != nil && x[i]-up[i] > over {
			worst, over = i, x[i]-up[i]
		}
	}
	return worst
}

// wanted returns the bound variable whose release lowers the value most
// steeply, or −1 when there is none beyond rounding.
func (q *Small) wanted(f face, barred uint8, lambda float64, x *Vector, up *Vector) int {
	best, slope := -1, 0.0
	for i := 0; i < q.N; i++ {
		if (f.free|barred)>>i&1 == 1 || up != nil && up[i] == 0 {
			continue
		}
		w, size := q.H[i]-lambda, math.Abs(q.H[i])+math.Abs(lambda)
		for j := 0; j < q.N; j++ {
			t := q.G[i][j] * x[j]
			w -= t
			size += math.Abs(t)
		}
		if f.up>>i&1 == 1 {
			w = -w
		}
		if w > 16*epsilon*size && w > slope {
			best, slope = i, w
		}
	}
	return best
}

// on fills x with the minimiser on the plane of face f, which may lie outside
// the face, and returns the multiplier. Where the plane has no single
// minimiser it returns a variable that depends on the other free ones;
// otherwise dependent is −1.
func (q *Small) on(f face, x *Vector, up *Vector, total bool, c float64) (lambda float64, dependent int) {
	var free [MaxSmall]int
	k := 0
	*x = Vector{}
	for i := 0; i < q.N; i++ {
		switch {
		case f.free>>i&1 == 1:
			free[k] = i
			k++
		case f.up>>i&1 == 1:
			x[i] = up[i]
			c -= up[i]
		}
	}
	if k == 0 {
		return 0, -1
	}
	// With the total held, one free variable is r = c − Σ others. Taking the
	// shortest column keeps the others' differences from it apart.
	r := -1
	if total {
		least := 0
		for a := 1; a < k; a++ {
			if q.G[free[a]][free[a]] < q.G[free[least]][free[least]] {
				least = a
			}
		}
		k--
		r = free[least]
		free[least] = free[k]
	}
	var m [MaxSmall]Vector // LDLᵀ of the reduced matrix, L below the diagonal
	var y Vector
	for a := 0; a < k; a++ {
		i := free[a]
		g := &q.G[i]
		v := q.H[i]
		full := g[i]
		if r >= 0 {
			v -= q.H[r] + c*(g[r]-q.G[r][r])
			full += q.G[r][r]
		}
		if f.up != 0 {
			for j := 0; j < q.N; j++ {
				if f.up>>j&1 == 1 {
					t := g[j]
					if r >= 0 {
						t -= q.G[r][j]
					}
					v -= t * x[j]
				}
			}
		}
		for b := 0; b <= a; b++ {
			j := free[b]
			t := g[j]
			if r >= 0 {
				t += q.G[r][r] - g[r] - q.G[j][r]
			}
			for e := 0; e < b; e++ {
				t -= m[a][e] * m[b][e] * m[e][e]
			}
			if b < a {
				m[a][b] = t / m[b][b]
			} else {
				if !(t > dependentSquare*full) {
					return 0, i
				}
				m[a][a] = t
			}
		}
		for e := 0; e < a; e++ {
			v -= m[a][e] * y[e]
		}
		y[a] = v
	}
	for a := k - 1; a >= 0; a-- {
		v := y[a] / m[a][a]
		for e := a + 1; e < k; e++ {
			v -= m[e][a] * x[free[e]]
		}
		x[free[a]] = v
		c -= v
	}
	if r < 0 {
		return 0, -1
	}
	x[r] = c
	lambda = q.H[r]
	for j := 0; j < q.N; j++ {
		lambda -= q.G[r][j] * x[j]
	}
	return lambda, -1
}
