// Package nnls solves small dense least squares problems whose answer may not
// be negative, as amounts of powder may not:
//
//	minimise ‖A x − b‖²   subject to   Lo ≤ x ≤ Hi   and, when asked,   g·x = c
//
// Solver takes any shape and works on A itself by orthogonal transformations
// (Lawson & Hanson, Solving Least Squares Problems, 1974, chapter 23). Small
// takes up to MaxSmall variables as the normal matrices AᵀA and Aᵀb, lives on
// the stack and is the one to call in an inner loop.
//
// The equality is kept by eliminating a variable, so it holds to rounding; no
// heavy weight is used and none of the residual's accuracy is spent on it.
//
// When the columns are dependent there are many minimisers. One of them is
// returned, with the free columns independent; which one depends on the order
// of the columns, the residual does not.
//
// Squares of the numbers given must neither overflow nor vanish: 1e-140 to
// 1e140 is safe.
package nnls

import (
	"errors"
	"fmt"
	"math"
)

// Errors a caller can tell apart with errors.Is.
var (
	ErrShape      = errors.New("nnls: slices do not fit the problem's rows and columns")
	ErrNotFinite  = errors.New("nnls: every number, and the answer, must be finite")
	ErrInfeasible = errors.New("nnls: no x within the bounds meets the constraint")
	ErrSteps      = errors.New("nnls: no answer within the allowed steps")
)

// Problem is one bounded least squares problem. The zero value of each
// optional field leaves it out.
type Problem struct {
	Rows, Cols int
	A          []float64 // Rows×Cols, column after column
	B          []float64 // Rows
	G          []float64 // Cols; nil for no equality
	C          float64   // the value of g·x
	Lo         []float64 // Cols, finite; nil for 0
	Hi         []float64 // Cols, at least Lo, +Inf allowed; nil for no upper bound
}

func (p *Problem) lo(j int) float64 {
	if p.Lo == nil {
		return 0
	}
	return p.Lo[j]
}

func (p *Problem) hi(j int) float64 {
	if p.Hi == nil {
		return math.Inf(1)
	}
	return p.Hi[j]
}

// column returns column j of A.
func (p *Problem) column(j int) []float64 { return p.A[j*p.Rows : (j+1)*p.Rows] }

// check says what is wrong with the problem, or nil.
func (p *Problem) check() error {
	if p.Rows < 0 || p.Cols < 0 || len(p.A) != p.Rows*p.Cols || len(p.B) != p.Rows ||
		p.G != nil && len(p.G) != p.Cols ||
		p.Lo != nil && len(p.Lo) != p.Cols || p.Hi != nil && len(p.Hi) != p.Cols {
		return fmt.Errorf("%w: %d×%d with len(A) %d, len(B) %d, len(G) %d, len(Lo) %d, len(Hi) %d",
			ErrShape, p.Rows, p.Cols, len(p.A), len(p.B), len(p.G), len(p.Lo), len(p.Hi))
	}
	if !allFinite(p.A) || !allFinite(p.B) || !allFinite(p.G) || !allFinite(p.Lo) || !finite(p.C) {
		return ErrNotFinite
	}
	for j := 0; j < p.Cols; j++ {
		// Written so that a NaN upper bound fails too.
		if !(p.hi(j) >= p.lo(j)) {
			return fmt.Errorf("%w: variable %d has bounds %g to %g", ErrInfeasible, j, p.lo(j), p.hi(j))
		}
	}
	return nil
}

func allFinite(v []float64) bool {
	for _, x := range v {
		if !finite(x) {
			return false
		}
	}
	return true
}

// finite is false for NaN and both infinities, whose difference with
// themselves is NaN.
func finite(x float64) bool { return x-x == 0 }

func dot(a, b []float64) float64 {
	sum := 0.0
	b = b[:len(a)]
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

func norm(a []float64) float64 { return math.Sqrt(dot(a, a)) }
