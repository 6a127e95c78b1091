package skin

import "math"

// fromLogKS returns the reflectance of y = ln K/S, strictly between 0 and 1,
// and its slope by y, as two fluxes have it for an opaque body: K/S = (1 − r)²/2r.
// The reading itself is taken, its surface's light not taken off: see the package
// documentation.
func fromLogKS(y float64) (r, slope float64) {
	q := math.Exp(y)
	root := math.Sqrt(q * (q + 2))
	r = 1 / (1 + q + root) // = 1 + q − √(q² + 2q), without the cancellation
	return r, -r * q / root
}
