package skin

import (
	"errors"
	"math"

	"tawny/colour"
)

// errNoScores says that no scores of the model reproduce a colour.
var errNoScores = errors.New("no scores of the skin model reproduce this colour")

// Solve returns the scores, in standard deviations, at which the model has
// exactly the colour c under v.
//
// It is Newton's method on ln X, ln Y, ln Z, in which the model is nearly
// straight, from the mean skin; a step is at most maxStep deviations long and
// is halved until the residual falls. Nothing is clamped.
func (m *Model) Solve(c colour.Lab, v *colour.Viewing, excluded bool) ([3]float64, error) {
	target := v.XYZOf(c)
	if !excluded {
		w := v.White()
		target.X -= Surface * w.X
		target.Y -= Surface * w.Y
		target.Z -= Surface * w.Z
	}
	var s [3]float64
	if !(target.X > 0 && target.Y > 0 && target.Z > 0) {
		return s, errNoScores // darker than the surface alone
	}
	goal := [3]float64{math.Log(target.X), math.Log(target.Y), math.Log(target.Z)}

	const (
		iterations = 60
		halvings   = 30
		maxStep    = 4.0   // standard deviations
		close      = 1e-13 // of X, Y, Z, relative; 1e-9 in L*a*b* with room to spare
		enough     = 1e-11 // accepted when rounding stops further progress
	)
	f, j, ok := m.residual(&s, v, &goal)
	size := norm(f)
	for n := 0; ok && n < iterations && size > close; n++ {
		step, regular := solve3(j, f)
		if !regular {
			break
		}
		scale := math.Min(1, maxStep/norm(step))
		better := false
		for h := 0; h < halvings; h++ {
			try := [3]float64{s[0] - scale*step[0], s[1] - scale*step[1], s[2] - scale*step[2]}
			tf, tj, tok := m.residual(&try, v, &goal)
			if ts := norm(tf); tok && ts < size {
				s, f, j, size, better = try, tf, tj, ts, true
				break
			}
			scale /= 2
		}
		if !better {
			break
		}
	}
	if !ok || !(size <= enough) {
		return [3]float64{}, errNoScores
	}
	return s, nil
}

// residual returns ln X, Y, Z of the light from below the surface less goal,
// and the slopes by the scores. ok is false where they are not finite.
func (m *Model) residual(s *[3]float64, v *colour.Viewing, goal *[3]float64) (f [3]float64, j [3][3]float64, ok bool) {
	w := v.Weights()
	for i := range m.Mean {
		r, slope := fromLogKS(m.logKS(i, s))
		for x := range f {
			f[x] += w[x][i] * r
			d := w[x][i] * slope
			for k := range s {
				j[x][k] += d * m.Component[k][i]
			}
		}
	}
	for x := range f {
		if !(f[x] > 0) {
			return f, j, false
		}
		for k := range s {
			j[x][k] /= f[x]
		}
		f[x] = math.Log(f[x]) - goal[x]
	}
	return f, j, !math.IsInf(norm(f), 0) && !math.IsNaN(norm(f))
}

func norm(v [3]float64) float64 { return math.Sqrt(v[0]*v[0] + v[1]*v[1] + v[2]*v[2]) }

// solve3 solves a·x = b by elimination with row exchange; regular is false
// where a is singular to rounding.
func solve3(a [3][3]float64, b [3]float64) (x [3]float64, regular bool) {
	largest := 0.0
	for i := range a {
		for k := range a[i] {
			largest = math.Max(largest, math.Abs(a[i][k]))
		}
	}
	for c := 0; c < 3; c++ {
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
