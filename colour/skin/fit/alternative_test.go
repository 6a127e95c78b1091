package main

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"

	"tawny/colour"
	"tawny/colour/skin"
)

// link is what the components are taken of: to from R to y and back.
type link struct{ to, from func(float64) float64 }

// logR is −ln(R − surface).
func logR(surface float64) link {
	return link{
		func(r float64) float64 { return -math.Log(r - surface) },
		func(y float64) float64 { return surface + math.Exp(-y) },
	}
}

// logKS is the link of the model kept, its inverse by a model of mean y.
var logKS = link{
	func(r float64) float64 { return skin.LogKS(r - skin.Surface) },
	func(y float64) float64 {
		m := skin.Model{Mean: colour.Constant(y)}
		r := m.At([3]float64{}, false)
		return r[0]
	},
}

// alternative fits the mean and three principal components of a link, or,
// given a law, the law and the first two components of what it leaves; and
// solves for the colour with slopes by differences. It is written apart from
// the model it is compared with, on purpose.
func alternative(l link, law func(nm float64) float64) func([]Subject) rebuild {
	return func(train []Subject) rebuild {
		n := len(train)
		var mean colour.Spectrum
		y := mat.NewDense(n, colour.Bands, nil)
		for i := range train {
			for b, r := range train[i].Reflectance {
				y.Set(i, b, l.to(r))
				mean[b] += l.to(r) / float64(n)
			}
		}
		var basis []colour.Spectrum
		if law != nil {
			var c colour.Spectrum
			size := 0.0
			for b := range c {
				c[b] = law(colour.WavelengthNM(b))
				size += c[b] * c[b]
			}
			for b := range c {
				c[b] /= math.Sqrt(size)
			}
			basis = append(basis, c)
		}
		for i := 0; i < n; i++ {
			along := 0.0
			for b := range mean {
				y.Set(i, b, y.At(i, b)-mean[b])
				if law != nil {
					along += y.At(i, b) * basis[0][b]
				}
			}
			for b := range mean {
				if law != nil {
					y.Set(i, b, y.At(i, b)-along*basis[0][b])
				}
			}
		}
		var svd mat.SVD
		if !svd.Factorize(y, mat.SVDThin) {
			panic("the singular values did not converge")
		}
		var v mat.Dense
		svd.VTo(&v)
		for k := 0; len(basis) < 3; k++ {
			var c colour.Spectrum
			for b := range c {
				c[b] = v.At(b, k)
			}
			basis = append(basis, c)
		}
		at := func(s []float64) (r colour.Spectrum) {
			for b := range r {
				r[b] = l.from(mean[b] + s[0]*basis[0][b] + s[1]*basis[1][b] + s[2]*basis[2][b])
			}
			return r
		}
		return func(c colour.Lab) (colour.Spectrum, error) {
			s := make([]float64, 3)
			for n := 0; n < 100; n++ {
				r := at(s)
				f := difference(colour.D65.Lab(&r), c)
				if mat.Norm(f, 2) < 1e-11 {
					return r, nil
				}
				j := mat.NewDense(3, 3, nil)
				for k := range s {
					const h = 1e-6
					up, down := append([]float64(nil), s...), append([]float64(nil), s...)
					up[k] += h
					down[k] -= h
					a, b := at(up), at(down)
					d := difference(colour.D65.Lab(&a), colour.D65.Lab(&b))
					for i := 0; i < 3; i++ {
						j.Set(i, k, d.AtVec(i)/(2*h))
					}
				}
				var step mat.VecDense
				if err := step.SolveVec(j, f); err != nil {
					return r, err
				}
				for k := range s {
					s[k] -= step.AtVec(k)
				}
			}
			r := at(s)
			if d := colour.DeltaE76(colour.D65.Lab(&r), c); d > 1e-9 {
				return r, errors.New("no answer")
			}
			return r, nil
		}
	}
}

func difference(a, b colour.Lab) *mat.VecDense {
	return mat.NewVecDense(3, []float64{a.L - b.L, a.A - b.A, a.B - b.B})
}
