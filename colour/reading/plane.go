package reading

import (
	"math"
)

// plane is value + slope·(x, y) fitted to cells, with standard errors.
type plane struct {
	value, valueSE float64
	slope, slopeSE [2]float64
}

// fitPlane is weighted least squares. The value is taken at (0, 0), the
// area's centre. With too few cells for a slope it is a weighted mean.
func fitPlane(x, y, z, w []float64) plane {
	var n [3][3]float64
	var rhs [3]float64
	for i := range z {
		row := [3]float64{1, x[i], y[i]}
		for a := range 3 {
			rhs[a] += w[i] * row[a] * z[i]
			for b := range 3 {
				n[a][b] += w[i] * row[a] * row[b]
			}
		}
	}
	inverse, ok := invert(n)
	if !ok || len(z) < 6 {
		var p plane
		p.value = rhs[0] / n[0][0]
		for i := range z {
			p.valueSE += w[i] * (z[i] - p.value) * (z[i] - p.value)
		}
		p.valueSE = math.Sqrt(p.valueSE / n[0][0] / math.Max(1, float64(len(z)-1)))
		return p
	}
	var f [3]float64
	for a := range 3 {
		for b := range 3 {
			f[a] += inverse[a][b] * rhs[b]
		}
	}
	rss := 0.0
	for i := range z {
		d := z[i] - f[0] - f[1]*x[i] - f[2]*y[i]
		rss += w[i] * d * d
	}
	variance := rss / float64(len(z)-3) // of a unit weight
	return plane{
		value: f[0], valueSE: math.Sqrt(variance * inverse[0][0]),
		slope:   [2]float64{f[1], f[2]},
		slopeSE: [2]float64{math.Sqrt(variance * inverse[1][1]), math.Sqrt(variance * inverse[2][2])},
	}
}

// invert is by cofactors, after scaling so that singular is seen as such.
func invert(m [3][3]float64) (r [3][3]float64, ok bool) {
	var d [3]float64
	for i := range d {
		if m[i][i] <= 0 {
			return r, false
		}
		d[i] = math.Sqrt(m[i][i])
	}
	for i := range m {
		for j := range m {
			m[i][j] /= d[i] * d[j]
		}
	}
	minor := func(i, j int) float64 {
		a, b, c, e := (i+1)%3, (i+2)%3, (j+1)%3, (j+2)%3
		return m[a][c]*m[b][e] - m[a][e]*m[b][c]
	}
	det := m[0][0]*minor(0, 0) + m[0][1]*minor(0, 1) + m[0][2]*minor(0, 2)
	if det < 1e-9 {
		return r, false
	}
	for i := range r {
		for j := range r {
			r[i][j] = minor(j, i) / det / (d[i] * d[j])
		}
	}
	return r, true
}
