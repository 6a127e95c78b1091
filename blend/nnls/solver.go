package nnls

import (
	"fmt"
	"math"
)

const epsilon = 0x1p-52

// dependentColumn is the share of a column that must be left outside the span
// of the columns already free for it to join them. Smaller remainders are
// mostly rounding (Lawson & Hanson leave the figure to the user).
const dependentColumn = 1e-12

// Result says how a solution was reached.
type Result struct {
	Residual   float64 // ‖A x − b‖
	Multiplier float64 // of the equality: change of ½‖A x − b‖² per unit of −c
	Steps      int     // least squares problems solved
}

// Solver holds the workspace for problems up to a given size, so that solving
// allocates nothing. It may be used again and again, by one goroutine at a
// time.
type Solver struct {
	maxRows, maxCols int

	r      []float64 // residual b − A x
	w      []float64 // Aᵀ r
	size   []float64 // column norms of A
	q      []float64 // free columns with the equality eliminated, then their QR
	rhs    []float64
	d      []float64 // step of the free variables, in the order of free
	diag   []float64 // diagonal of R
	beta   []float64 // 2/‖v‖² of each reflection
	place  []int     // which free variable each column of q belongs to
	free   []int
	state  []state
	barred []bool // tried at this point and found dependent
}

type state uint8

const (
	atLo state = iota
	atHi
	isFree
)

// NewSolver returns a solver for problems of at most maxRows rows and maxCols
// variables.
func NewSolver(maxRows, maxCols int) *Solver {
	maxRows, maxCols = max(maxRows, 0), max(maxCols, 0)
	return &Solver{
		maxRows: maxRows, maxCols: maxCols,
		r: make([]float64, maxRows), rhs: make([]float64, maxRows),
		w: make([]float64, maxCols), size: make([]float64, maxCols),
		q: make([]float64, maxRows*maxCols), d: make([]float64, maxCols),
		diag: make([]float64, maxCols), beta: make([]float64, maxCols), place: make([]int, maxCols),
		free:  make([]int, 0, maxCols),
		state: make([]state, maxCols), barred: make([]bool, maxCols),
	}
}

// Solve fills x, of length p.Cols, with a minimiser. x is not read. On an
// error x holds no answer.
func (s *Solver) Solve(x []float64, p *Problem) (Result, error) {
	var res Result
	if err := p.check(); err != nil {
		return res, err
	}
	if p.Rows > s.maxRows || p.Cols > s.maxCols || len(x) != p.Cols {
		return res, fmt.Errorf("%w: %d×%d with len(x) %d, in a solver made for %d×%d",
			ErrShape, p.Rows, p.Cols, len(x), s.maxRows, s.maxCols)
	}
	for j := range x {
		s.size[j] = norm(p.column(j))
	}
	if err := s.start(x, p); err != nil {
		return res, err
	}
	// Each variable rarely enters more than a few times (Lawson & Hanson
	// saw about half as many steps as columns); 30 is far beyond that.
	limit := 30*p.Cols + 30
	stalled := false
	for res.Steps = 0; res.Steps < limit; {
		s.gradient(x, p)
		lambda := s.multiplier(p)
		j := s.entering(x, p, lambda, stalled)
		if j < 0 {
			s.refine(x, p)
			s.closeEquality(x, p)
			s.residual(x, p)
			res.Residual = norm(s.r[:p.Rows])
			res.Multiplier = lambda
			if !finite(res.Residual) {
				return res, ErrNotFinite
			}
			return res, nil
		}
		moved, ok := s.advance(x, p, j, &res.Steps)
		if !ok {
			s.barred[j] = true
			continue
		}
		stalled = !moved
		clear(s.barred[:p.Cols])
	}
	return res, ErrSteps
}

// start puts x at a feasible point with at most one variable between its
// bounds.
func (s *Solver) start(x []float64, p *Problem) error {
	s.free = s.free[:0]
	clear(s.barred[:p.Cols])
	need, scale := p.C, math.Abs(p.C)
	for j := range x {
		x[j] = p.lo(j)
		s.state[j] = atLo
		if p.G != nil {
			need -= p.G[j] * x[j]
			scale += math.Abs(p.G[j] * x[j])
		}
	}
	if p.G == nil {
		return nil
	}
	rounding := 4 * epsilon * float64(p.Cols+1) * scale
	for j := range x {
		if math.Abs(need) <= rounding {
			break
		}
		if p.G[j]*need <= 0 {
			continue
		}
		if up := need / p.G[j]; x[j]+up < p.hi(j) {
			x[j] += up
			s.state[j] = isFree
			s.free = append(s.free, j)
			return nil
		}
		need -= p.G[j] * (p.hi(j) - x[j])
		scale += math.Abs(p.G[j] * p.hi(j))
		rounding = 4 * epsilon * float64(p.Cols+1) * scale
		x[j] = p.hi(j)
		s.state[j] = atHi
	}
	if math.Abs(need) > rounding {
		return fmt.Errorf("%w: g·x can come no nearer to %g than %g", ErrInfeasible, p.C, p.C-need)
	}
	return nil
}

// residual sets r = b − A x.
func (s *Solver) residual(x []float64, p *Problem) {
	r := s.r[:p.Rows]
	copy(r, p.B)
	for j, v := range x {
		if v == 0 {
			continue
		}
		col := p.column(j)
		for i := range r {
			r[i] -= col[i] * v
		}
	}
}

// gradient sets w = Aᵀ(b − A x), the slope of −½‖A x − b‖².
func (s *Solver) gradient(x []float64, p *Problem) {
	s.residual(x, p)
	for j := range x {
		s.w[j] = dot(p.column(j), s.r[:p.Rows])
	}
}

// multiplier returns the equality's, from the free variables. Where none of
// them takes part in the equality it frees one that does, at its bound: the
// one that sets the least multiplier the variables wanting more can accept.
// Those wanting less then show whether the point is a minimiser.
func (s *Solver) multiplier(p *Problem) float64 {
	if p.G == nil {
		return 0
	}
	gw, gg := 0.0, 0.0
	for _, j := range s.free {
		gw += p.G[j] * s.w[j]
		gg += p.G[j] * p.G[j]
	}
	if gg > 0 {
		return gw / gg
	}
	best, most, least := -1, math.Inf(-1), math.Inf(1)
	other := -1
	for j := 0; j < p.Cols; j++ {
		if p.G[j] == 0 || s.state[j] == isFree || p.hi(j) == p.lo(j) {
			continue
		}
		ratio := s.w[j] / p.G[j]
		if (s.state[j] == atLo) == (p.G[j] > 0) {
			if ratio > most {
				most, best = ratio, j
			}
		} else if ratio < least {
			least, other = ratio, j
		}
	}
	if best < 0 {
		best = other
	}
	if best < 0 {
		return 0 // nothing that can move takes part
	}
	s.state[best] = isFree
	s.free = append(s.free, best)
	return s.w[best] / p.G[best]
}

// entering returns the bound variable whose release lowers the residual most
// steeply, or the first such variable when first is set, which cannot cycle;
// −1 when there is none beyond rounding.
func (s *Solver) entering(x []float64, p *Problem, lambda float64, first bool) int {
	size := norm(p.B)
	for j, v := range x {
		size += s.size[j] * math.Abs(v)
	}
	rounding := 4 * epsilon * float64(p.Rows+p.Cols) * size
	lambdaRounding := 0.0
	if p.G != nil {
		gg := 0.0
		for _, j := range s.free {
			gg += p.G[j] * p.G[j]
			lambdaRounding = max(lambdaRounding, rounding*s.size[j])
		}
		if gg > 0 {
			lambdaRounding /= math.Sqrt(gg)
		}
	}
	best, slope := -1, 0.0
	for j := range x {
		if s.state[j] == isFree || s.barred[j] || p.hi(j) == p.lo(j) {
			continue
		}
		d, tol := s.w[j], rounding*s.size[j]
		if p.G != nil {
			d -= lambda * p.G[j]
			tol += math.Abs(p.G[j]) * lambdaRounding
		}
		if s.state[j] == atHi {
			d = -d
		}
		if d > tol && d > slope {
			best, slope = j, d
			if first {
				break
			}
		}
	}
	return best
}

// advance frees variable j and walks to the minimiser over the free variables,
// dropping those that meet a bound on the way. moved is false when no variable
// changed; ok is false, with nothing changed, when j's column depends on the
// free ones.
func (s *Solver) advance(x []float64, p *Problem, j int, steps *int) (moved, ok bool) {
	was := s.state[j]
	s.state[j] = isFree
	s.free = append(s.free, j)
	for first := true; len(s.free) > 0; first = false {
		*steps++
		independent := s.step(p)
		last := len(s.free) - 1
		if first && (!independent || s.d[last] == 0 || (s.d[last] > 0) != (was == atLo)) {
			s.state[j] = was
			s.free = s.free[:last]
			return false, false
		}
		alpha := 1.0
		for k, i := range s.free {
			if room, hit := s.room(x, p, k, i); hit {
				alpha = min(alpha, room)
			}
		}
		for k, i := range s.free {
			room, hit := s.room(x, p, k, i)
			before := x[i]
			x[i] += alpha * s.d[k]
			if hit && room <= alpha || x[i] < p.lo(i) || x[i] > p.hi(i) {
				s.state[i] = atLo
				x[i] = p.lo(i)
				if s.d[k] > 0 {
					s.state[i] = atHi
					x[i] = p.hi(i)
				}
			}
			moved = moved || x[i] != before
		}
		kept := s.free[:0]
		for _, i := range s.free {
			if s.state[i] == isFree {
				kept = append(kept, i)
			}
		}
		whole := len(kept) == len(s.free)
		s.free = kept
		if whole {
			break
		}
		s.residual(x, p)
	}
	return moved, true
}

// room is the part of step k, of variable i, that fits inside its bounds; hit
// is false when the whole step does.
func (s *Solver) room(x []float64, p *Problem, k, i int) (part float64, hit bool) {
	d := s.d[k]
	switch {
	case d < 0 && x[i]+d <= p.lo(i):
		return (p.lo(i) - x[i]) / d, true
	case d > 0 && x[i]+d >= p.hi(i):
		return (p.hi(i) - x[i]) / d, true
	}
	return 1, false
}

// step sets d to the step of the free variables that minimises ‖A d − r‖ with
// g·d = 0, by Householder QR. The equality eliminates the free variable with
// the largest |g|, which keeps the reduced columns well scaled. It reports
// whether the newest free column is independent of the others.
func (s *Solver) step(p *Problem) (independent bool) {
	m := p.Rows
	d := s.d[:len(s.free)]
	clear(d)
	out := -1 // place in free of the eliminated variable
	if p.G != nil {
		most := 0.0
		for k, j := range s.free {
			if g := math.Abs(p.G[j]); g > most {
				out, most = k, g
			}
		}
	}
	rhs := s.rhs[:m]
	copy(rhs, s.r[:m])
	rank, last := 0, len(s.free)-1
	independent = true
	for k, j := range s.free {
		if k == out {
			continue
		}
		col := s.q[rank*m : (rank+1)*m]
		copy(col, p.column(j))
		full := s.size[j]
		if out >= 0 {
			f := p.G[j] / p.G[s.free[out]]
			for i, v := range p.column(s.free[out]) {
				col[i] -= f * v
			}
			full += math.Abs(f) * s.size[s.free[out]]
		}
		if s.reduce(rank, m, full) {
			s.place[rank] = k
			rank++
		} else if k == last || out == last {
			independent = false
		}
	}
	for t := rank - 1; t >= 0; t-- {
		v := rhs[t]
		for u := t + 1; u < rank; u++ {
			v -= s.q[u*m+t] * d[s.place[u]]
		}
		d[s.place[t]] = v / s.diag[t]
	}
	if out >= 0 {
		sum := 0.0
		for k, j := range s.free {
			if k != out {
				sum += p.G[j] * d[k]
			}
		}
		d[out] = -sum / p.G[s.free[out]]
	}
	return independent
}

// reduce turns column number rank of q by the reflections before it, makes its
// own and turns the right-hand side by that. Above the diagonal the column then
// holds R, from the diagonal down the reflection's vector; R's diagonal is in
// diag. It returns false where nothing of the column, of norm full before any
// cancellation, is left to reflect.
func (s *Solver) reduce(rank, m int, full float64) bool {
	col := s.q[rank*m : (rank+1)*m]
	for t := 0; t < rank; t++ {
		reflect(s.q[t*m+t:(t+1)*m], s.beta[t], col[t:])
	}
	v := col[min(rank, m):]
	left := norm(v)
	if len(v) == 0 || left <= dependentColumn*full {
		return false
	}
	if v[0] > 0 {
		left = -left
	}
	s.diag[rank] = left
	v[0] -= left
	s.beta[rank] = -1 / (left * v[0]) // 2/‖v‖²
	reflect(v, s.beta[rank], s.rhs[rank:m])
	return true
}

// reflect subtracts beta·(v·y) v from y.
func reflect(v []float64, beta float64, y []float64) {
	f := beta * dot(v, y)
	for i, a := range v {
		y[i] -= f * a
	}
}

// refine takes one more step over the free variables from where they stand,
// which mends what the length of the walk cost in digits.
func (s *Solver) refine(x []float64, p *Problem) {
	if len(s.free) == 0 {
		return
	}
	s.step(p)
	for k, i := range s.free {
		if _, hit := s.room(x, p, k, i); hit {
			return
		}
	}
	for k, i := range s.free {
		x[i] += s.d[k]
	}
}

// closeEquality takes what rounding left of g·x − c from the free variable
// with the most weight in it.
func (s *Solver) closeEquality(x []float64, p *Problem) {
	if p.G == nil {
		return
	}
	best, most := -1, 0.0
	for _, j := range s.free {
		if g := math.Abs(p.G[j] * x[j]); g > most {
			best, most = j, g
		}
	}
	if best < 0 {
		return
	}
	rest := p.C
	for j, v := range x {
		if j != best {
			rest -= p.G[j] * v
		}
	}
	if v := rest / p.G[best]; v >= p.lo(best) && v <= p.hi(best) {
		x[best] = v
	}
}
