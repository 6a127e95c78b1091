package skin

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"tawny/colour"
)

// The fit's two settings. The noise is what people of one colour differ by
// against what the bumps may do, and how much of it hardly matters: from a
// third to three times as much moves the mean errors by a twentieth.
const (
	noise  = 0.1  // of the bumps' own variance
	jitter = 1e-2 // added to that variance, for the inverse
	ridge  = 1e-4 // of the slopes, which are otherwise free
)

// fitModel returns the model of sound readings (none doubtful): ln K/S by least
// squares on the model's terms, the readings of each class weighing alike
// together. The bumps' coefficients are held down as those of a Gaussian
// process with the bumps for covariance, seen at the lattice, are.
func fitModel(readings []person) (Model, error) {
	var m Model
	for i := range readings {
		m.Readings[readings[i].Class()]++
	}
	if len(readings) < Slopes {
		return m, fmt.Errorf("%d readings; at least %d are needed", len(readings), Slopes)
	}
	classes := 0
	for _, n := range m.Readings {
		if n > 0 {
			classes++
		}
	}
	y := logKS(readings)
	normal := mat.NewSymDense(Terms, nil)
	for j := range Slopes {
		normal.SetSym(j, j, ridge)
	}
	for j, p := range Lattice() {
		t := TermsOf(p)
		for k := range Terms - Slopes {
			v := noise * t[Slopes+k]
			if j == k {
				v += noise * jitter
			}
			normal.SetSym(Slopes+j, Slopes+k, v)
		}
	}
	right := mat.NewDense(Terms, colour.Bands, nil)
	for i := range readings {
		weight := float64(len(readings)) / float64(classes*m.Readings[readings[i].Class()])
		terms := TermsOf(readings[i].Lab())
		t := mat.NewVecDense(Terms, terms[:])
		normal.SymRankOne(normal, weight, t)
		right.RankOne(right, weight, t, mat.NewVecDense(colour.Bands, y[i][:]))
	}
	var factor mat.Cholesky
	if !factor.Factorize(normal) {
		return m, fmt.Errorf("the normal equations are not positive definite")
	}
	var solved mat.Dense
	if err := factor.SolveTo(&solved, right); err != nil {
		return m, err
	}
	for j := range m.Coefficient {
		for b := range m.Coefficient[j] {
			m.Coefficient[j][b] = solved.At(j, b)
		}
	}
	return m, nil
}

// ratio returns ln K/S of a reflectance.
func ratio(r float64) float64 { return math.Log((1 - r) * (1 - r) / (2 * r)) }

// logKS returns ln K/S of each reading on the whole grid. Bands a reading does
// not reach go on from its end by the step that readings which do reach them
// take there, a straight line on their step to the end; level where fewer than
// three do.
func logKS(readings []person) []colour.Spectrum {
	y := make([]colour.Spectrum, len(readings))
	for i := range readings {
		for b, r := range readings[i].Reflectance {
			y[i][b] = ratio(r)
		}
	}
	for i := range readings {
		first, last := readings[i].First, readings[i].Last
		for b := range y[i] {
			end, before := b, b
			switch {
			case b < first:
				end, before = first, first+1
			case b > last:
				end, before = last, last-1
			default:
				continue
			}
			var n, sx, sy, sxx, sxy float64
			for k := range readings {
				if readings[k].First <= b && b <= readings[k].Last {
					x, v := y[k][end]-y[k][before], y[k][b]-y[k][end]
					n, sx, sy, sxx, sxy = n+1, sx+x, sy+v, sxx+x*x, sxy+x*v
				}
			}
			y[i][b] = y[i][end]
			if n < 3 {
				continue
			}
			slope := 0.0
			if spread := n*sxx - sx*sx; spread > 1e-9*n*sxx {
				slope = (n*sxy - sx*sy) / spread
			}
			y[i][b] += (sy-slope*sx)/n + slope*(y[i][end]-y[i][before])
		}
	}
	return y
}
