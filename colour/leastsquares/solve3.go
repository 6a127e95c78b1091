package leastsquares

import "math"

// Solve3 solves a·x = b by elimination with row exchange; regular is false
// where a is singular to rounding.
func Solve3(a [3][3]float64, b [3]float64) (x [3]float64, regular bool) {
	largest := 0.0
	for i := range a {
		for k := range a[i] {
			largest = math.Max(largest, math.Abs(a[i][k]))
		}
	}
	for c := range 3 {
		p := c
		for r := c + 1; r < 3; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[p][c]) {
				p = r
			}
		}
		if !(math.Abs(a[p][c]) > 1e-14*largest) {
			return x, false
		}
		a[c], a[p], b[c], b[p] = a[p], a[c], b[p], b[c]
		for r := c + 1; r < 3; r++ {
			t := a[r][c] / a[c][c]
			for k := c; k < 3; k++ {
				a[r][k] -= t * a[c][k]
			}
			b[r] -= t * b[c]
		}
	}
	for c := 2; c >= 0; c-- {
		x[c] = b[c]
		for k := c + 1; k < 3; k++ {
			x[c] -= a[c][k] * x[k]
		}
		x[c] /= a[c][c]
	}
	return x, true
}
