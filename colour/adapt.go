package colour

// The linear Bradford cone matrix and its inverse (Lam 1985; as in the ICC
// profile specification, annex E).
var (
	bradford = [3][3]float64{
		{0.8951, 0.2664, -0.1614},
		{-0.7502, 1.7135, 0.0367},
		{0.0389, -0.0685, 1.0296},
	}
	bradfordInverse = inverse3(bradford)
)

// Adapt carries tristimulus values from one white to another by the linear
// Bradford transform, for showing a colour on a screen whose white differs.
func Adapt(c, from, to XYZ) XYZ {
	cone := times3(bradford, [3]float64{c.X, c.Y, c.Z})
	f := times3(bradford, [3]float64{from.X, from.Y, from.Z})
	t := times3(bradford, [3]float64{to.X, to.Y, to.Z})
	for i := range cone {
		cone[i] *= t[i] / f[i]
	}
	x := times3(bradfordInverse, cone)
	return XYZ{x[0], x[1], x[2]}
}

func times3(m [3][3]float64, v [3]float64) (r [3]float64) {
	for i := range r {
		r[i] = m[i][0]*v[0] + m[i][1]*v[1] + m[i][2]*v[2]
	}
	return r
}

func inverse3(m [3][3]float64) (r [3][3]float64) {
	minor := func(i, j int) float64 {
		a, b := (i+1)%3, (i+2)%3
		c, d := (j+1)%3, (j+2)%3
		return m[a][c]*m[b][d] - m[a][d]*m[b][c]
	}
	det := m[0][0]*minor(0, 0) + m[0][1]*minor(0, 1) + m[0][2]*minor(0, 2)
	for i := range r {
		for j := range r {
			r[i][j] = minor(j, i) / det
		}
	}
	return r
}
