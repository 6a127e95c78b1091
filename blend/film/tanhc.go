package film

import "math"

// fractionEnd is where tanhc leaves the fraction for an exponential: up to
// there nine terms are good to 2e-16.
const fractionEnd = 2

// tanhc returns t = tanh(√q)/√q and its derivative in q, for q ≥ 0.
//
// Lambert's continued fraction gives t = v/(v+q) with v = 3 + q/(5 + q/(7 + …)),
// and then t' = t(1/v − t)/2. Neither divides by q or subtracts near-equals, so
// both keep every digit down to q = 0, where the plain forms lose half.
func tanhc(q float64) (t, slope float64) {
	if q <= fractionEnd {
		// v = a/b, the ninth convergent.
		a := 654729075 + q*(91891800+q*(2837835+q*(25740+q*55)))
		b := 218243025 + q*(16081065+q*(289575+q*(1430+q)))
		t = a / (a + q*b)
		return t, 0.5 * t * (b/a - t)
	}
	x := math.Sqrt(q)
	u := math.Exp(-2 * x)
	t = (1 - u) / ((1 + u) * x)
	return t, (4*u/((1+u)*(1+u)) - t) / (2 * q) // (sech²√q − t)/2q
}
