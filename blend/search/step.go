package search

import (
	"math"

	"tawny/blend/nnls"
)

// next finds the step from x: the non-negative least-squares problem of the
// linearised match, load and bounds exact. Gradient and Hessian are e.g and
// s.h; the step goes to s.step.d with its multipliers.
//
// Package nnls solves it for the shares themselves. A cost ceiling is one
// linear bound more than it knows, and more than five powders are more than
// its quick form holds; quad takes those.
func (s *solver) next(x *[maxParts]float64) {
	s.bounds(x)
	q := &s.step
	q.g, q.h = s.eval.g, s.h
	if s.eval.n > nnls.MaxSmall || !math.IsInf(q.costHi, 1) || !s.small(x) {
		q.solve()
	}
}

// small takes the step by package nnls; false where rounding has left no
// feasible point for it.
func (s *solver) small(x *[maxParts]float64) bool {
	e, q, p := s.eval, &s.step, s.eval.p
	sm := nnls.Small{N: e.n}
	var box nnls.Box
	boxed := false
	for i := 0; i < e.n; i++ {
		sum := 0.0
		for j := 0; j < e.n; j++ {
			sm.G[i][j] = q.h[i][j]
			sum += q.h[i][j] * x[j]
		}
		sm.H[i] = sum - q.g[i]
		box.Lo[i], box.Hi[i] = e.use[i].lo, e.use[i].hi
		boxed = boxed || e.use[i].lo > 0 || e.use[i].hi < p.sumHi
	}
	var y nnls.Vector
	var a nnls.Answer
	var err error
	switch exact := p.sumLo == p.sumHi; {
	case exact && boxed:
		a, err = sm.TotalIn(&box, p.sumHi, &y)
	case exact:
		a, err = sm.Total(p.sumHi, &y)
	case boxed:
		a, err = sm.BetweenIn(&box, p.sumLo, p.sumHi, &y)
	default:
		a, err = sm.Between(p.sumLo, p.sumHi, &y)
	}
	if err != nil {
		return false
	}
	for i := 0; i < e.n; i++ {
		q.d[i] = y[i] - x[i]
	}
	q.muSum, q.muCost, q.converged = -a.Multiplier, 0, true
	return true
}
