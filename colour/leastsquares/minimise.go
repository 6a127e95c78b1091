// Package leastsquares finds the least of a sum of squares by damped
// Gauss–Newton steps (Levenberg 1944, Marquardt 1963), within bounds where there
// are any.
//
// A Problem gives half its sum, and there the normal equations: for residuals
// r with derivatives J, C = ½ Σr², g = Jᵀr, H = JᵀJ. Residuals makes one of
// residuals alone. Each step solves (H + λ diag H) s = −g; a step that does not
// help raises λ, one that does lowers it. An unknown at its bound whose slope
// points outwards stays there for that step.
package leastsquares

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Problem is a sum of squares of some unknowns.
type Problem interface {
	// Cost returns half the sum at x, or +Inf where there is none.
	Cost(x []float64) (float64, error)
	// Normal fills the slope g of Cost at x and the matrix H.
	Normal(x, g []float64, h *mat.SymDense) error
}

// Settings say where to look and when to stop. The zero Settings has no bounds
// and the usual numbers.
type Settings struct {
	Low, High []float64 // bounds of each unknown; nil for none
	Longest   float64   // the most one unknown may move in a step; 0 for no limit
	Damping   float64   // λ to begin with; 0 means 1e-3
	Least     float64   // λ at least; 0 means 1e-12
	Gain      float64   // a relative fall of the cost under this ends it; 0 means 1e-12
	Steps     int       // at most; 0 means 200
}

// Workspace is the scratch of a search, which searches one after the other may
// share; the zero one is ready.
type Workspace struct {
	next, g, move []float64
	solved        *mat.VecDense // over move
	h, damped     *mat.SymDense
	chol          mat.Cholesky
}

func (w *Workspace) size(n int) {
	if len(w.g) == n && n > 0 {
		return
	}
	w.next, w.g, w.move = make([]float64, n), make([]float64, n), make([]float64, n)
	w.solved = mat.NewVecDense(n, w.move)
	w.h, w.damped = mat.NewSymDense(n, nil), mat.NewSymDense(n, nil)
}

// mostRaises is how often in a row the damping is raised before a point counts
// as the best there is.
const mostRaises = 20

// Minimise moves x to the least cost found and returns it. x must lie within
// the bounds. An error of the problem ends it, x being the best so far.
func (w *Workspace) Minimise(p Problem, x []float64, s Settings) (cost float64, err error) {
	if s.Damping == 0 {
		s.Damping = 1e-3
	}
	if s.Least == 0 {
		s.Least = 1e-12
	}
	if s.Gain == 0 {
		s.Gain = 1e-12
	}
	if s.Steps == 0 {
		s.Steps = 200
	}
	if cost, err = p.Cost(x); err != nil || len(x) == 0 {
		return cost, err
	}
	w.size(len(x))
	damping := s.Damping
	for range s.Steps {
		if err := p.Normal(x, w.g, w.h); err != nil {
			return cost, err
		}
		better := false
		for range mostRaises {
			if !w.step(x, damping, &s) {
				damping = max(4*damping, 1e-12)
				continue
			}
			promised := 0.0 // by the slope, were there no bounds
			for i, g := range w.g {
				promised -= g * w.move[i]
			}
			next, err := p.Cost(w.next)
			if err != nil {
				return cost, err
			}
			if next < cost {
				better = cost-next > s.Gain*cost
				cost = next
				copy(x, w.next)
				damping = max(damping/8, s.Least)
				break
			}
			if promised <= s.Gain*cost {
				break
			}
			damping = max(4*damping, 1e-12)
		}
		if !better {
			break
		}
	}
	return cost, nil
}

// step fills next with where a damped step leads; false where H cannot be
// solved.
func (w *Workspace) step(x []float64, damping float64, s *Settings) bool {
	w.damped.CopySym(w.h)
	for i, g := range w.g {
		w.move[i] = -g
		if at := w.h.At(i, i); at > 0 {
			w.damped.SetSym(i, i, at*(1+damping))
		} else {
			// Nothing depends on it here.
			w.hold(i)
		}
		if s.Low != nil && x[i] <= s.Low[i] && g >= 0 || s.High != nil && x[i] >= s.High[i] && g <= 0 {
			w.hold(i)
		}
	}
	if !w.chol.Factorize(w.damped) {
		return false
	}
	if err := w.chol.SolveVecTo(w.solved, w.solved); err != nil {
		return false
	}
	for i, m := range w.move {
		if s.Longest > 0 {
			m = min(max(m, -s.Longest), s.Longest)
		}
		w.next[i] = x[i] + m
		if s.Low != nil {
			w.next[i] = max(w.next[i], s.Low[i])
		}
		if s.High != nil {
			w.next[i] = min(w.next[i], s.High[i])
		}
		if math.IsNaN(w.next[i]) {
			return false
		}
	}
	return true
}

// hold keeps unknown i where it is.
func (w *Workspace) hold(i int) {
	for j := range w.move {
		w.damped.SetSym(i, j, 0)
	}
	w.damped.SetSym(i, i, 1)
	w.move[i] = 0
}
