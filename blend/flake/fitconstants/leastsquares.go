package main

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/mat"
)

// index is the root of a dielectric function with k as printed.
func index(eps complex128) complex128 { return cmplx.Sqrt(eps) }

// leastSquares moves p to a least sum of squares of the m residuals by
// Levenberg and Marquardt with a forward-difference Jacobian, keeping it
// within bound where that is given.
func leastSquares(residual func(p, r []float64), p []float64, bound func([]float64), m int) {
	n := len(p)
	r, trial, q := make([]float64, m), make([]float64, m), make([]float64, n)
	jac := mat.NewDense(m, n, nil)
	residual(p, r)
	cost := sumSquares(r)
	lambda := 1e-3
	for range 600 {
		for j := range p {
			h := 1e-7 * (1 + math.Abs(p[j]))
			copy(q, p)
			q[j] += h
			residual(q, trial)
			for i := range r {
				jac.Set(i, j, (trial[i]-r[i])/h)
			}
		}
		var normal mat.Dense
		normal.Mul(jac.T(), jac)
		var gradient mat.VecDense
		gradient.MulVec(jac.T(), mat.NewVecDense(m, r))
		improved := false
		for range 12 {
			damped := mat.DenseCopyOf(&normal)
			for j := range n {
				damped.Set(j, j, normal.At(j, j)*(1+lambda)+1e-14)
			}
			var step mat.VecDense
			if err := step.SolveVec(damped, &gradient); err != nil {
				lambda *= 4
				continue
			}
			for j := range n {
				q[j] = p[j] - step.AtVec(j)
			}
			if bound != nil {
				bound(q)
			}
			residual(q, trial)
			if c := sumSquares(trial); c < cost {
				improved = cost-c > 1e-12*cost
				cost, lambda = c, lambda/3
				copy(p, q)
				copy(r, trial)
				break
			}
			lambda *= 4
		}
		if !improved {
			return
		}
	}
}

func sumSquares(r []float64) float64 {
	s := 0.0
	for _, v := range r {
		s += v * v
	}
	if math.IsNaN(s) {
		return math.Inf(1)
	}
	return s
}
