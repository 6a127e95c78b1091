package reading

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// mostCondition is that of cells which lie in a line, whose slope across it is
// nothing but rounding; the cells of an area a hundredth of the photo have 1e5.
const mostCondition = 1e11

// plane is value + slope·(x, y) fitted to cells, with standard errors.
type plane struct {
	value, valueSE float64
	slope, slopeSE [2]float64
}

// fitPlane is weighted least squares. The value is taken at (0, 0), the
// area's centre. With too few cells for a slope it is a weighted mean.
func fitPlane(x, y, z, w []float64) plane {
	n, rhs := mat.NewSymDense(3, nil), mat.NewVecDense(3, nil)
	for i := range z {
		row := mat.NewVecDense(3, []float64{1, x[i], y[i]})
		n.SymRankOne(n, w[i], row)
		rhs.AddScaledVec(rhs, w[i]*z[i], row)
	}
	var chol mat.Cholesky
	if len(z) < 6 || !chol.Factorize(n) || chol.Cond() > mostCondition {
		var p plane
		p.value = rhs.AtVec(0) / n.At(0, 0)
		for i := range z {
			p.valueSE += w[i] * (z[i] - p.value) * (z[i] - p.value)
		}
		p.valueSE = math.Sqrt(p.valueSE / n.At(0, 0) / math.Max(1, float64(len(z)-1)))
		return p
	}
	var solved mat.VecDense
	var inverse mat.SymDense
	// Neither fails below that condition.
	chol.SolveVecTo(&solved, rhs)
	chol.InverseTo(&inverse)
	f := solved.RawVector().Data
	rss := 0.0
	for i := range z {
		d := z[i] - f[0] - f[1]*x[i] - f[2]*y[i]
		rss += w[i] * d * d
	}
	variance := rss / float64(len(z)-3) // of a unit weight
	return plane{
		value: f[0], valueSE: math.Sqrt(variance * inverse.At(0, 0)),
		slope:   [2]float64{f[1], f[2]},
		slopeSE: [2]float64{math.Sqrt(variance * inverse.At(1, 1)), math.Sqrt(variance * inverse.At(2, 2))},
	}
}
