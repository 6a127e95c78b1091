package colour

import "tawny/colour/leastsquares"

// cones are a cone matrix and its inverse.
type cones struct{ of, back [3][3]float64 }

var (
	// The linear Bradford matrix (Lam 1985; as in the ICC profile specification,
	// annex E).
	bradford = newCones([3][3]float64{
		{0.8951, 0.2664, -0.1614},
		{-0.7502, 1.7135, 0.0367},
		{0.0389, -0.0685, 1.0296},
	})
	// CAT16 (Li et al., Color Res. Appl. 42:703, 2017).
	cat16 = newCones([3][3]float64{
		{0.401288, 0.650173, -0.051461},
		{-0.250268, 1.204414, 0.045854},
		{-0.002079, 0.048952, 0.953127},
	})
)

func newCones(of [3][3]float64) cones {
	k := cones{of: of}
	for j := range 3 {
		unit := [3]float64{}
		unit[j] = 1
		column, _ := leastsquares.Solve3(of, unit) // both are regular
		for i := range column {
			k.back[i][j] = column[i]
		}
	}
	return k
}

// Adapt carries tristimulus values from one white to another as eyes wholly
// used to each light see them, by CAT16 with full adaptation.
func Adapt(c, from, to XYZ) XYZ { return cat16.adapt(c, from, to) }

// AdaptProfile does so by the linear Bradford transform, which colour profiles
// prescribe.
func AdaptProfile(c, from, to XYZ) XYZ { return bradford.adapt(c, from, to) }

func (k *cones) adapt(c, from, to XYZ) XYZ {
	cone := times3(k.of, [3]float64{c.X, c.Y, c.Z})
	f := times3(k.of, [3]float64{from.X, from.Y, from.Z})
	t := times3(k.of, [3]float64{to.X, to.Y, to.Z})
	for i := range cone {
		cone[i] *= t[i] / f[i]
	}
	x := times3(k.back, cone)
	return XYZ{x[0], x[1], x[2]}
}

func times3(m [3][3]float64, v [3]float64) (r [3]float64) {
	for i := range r {
		r[i] = m[i][0]*v[0] + m[i][1]*v[1] + m[i][2]*v[2]
	}
	return r
}
