package skin

import (
	"errors"
	"math"

	"tawny/colour"
)

// ErrNoReflectance says that no reflectance between 0 and 1 has a colour.
var ErrNoReflectance = errors.New("no surface has this colour: it would return more than all of some of the light, or less than none")

// Smoothest returns the reflectance with the least sum of squared second
// differences that has the colour c under v and lies strictly between floor
// and 1 in every band. It knows nothing of skin: on measured skin it is five
// times further off in R than the model, and seven times in the colour under
// another light, so it is the last resort.
//
// The bounds are kept by a logarithmic barrier brought down to barrierLast, so
// the problem is strictly convex and its answer unique; each step is Newton's
// on the conditions for a minimum under the three colour constraints. Whether
// any reflectance has the colour is settled first, exactly ([reachable]), and
// [ErrNoReflectance] returned if not.
func Smoothest(c colour.Lab, v *colour.Viewing, floor float64) (colour.Spectrum, error) {
	w := v.Weights()
	x := v.XYZOf(c)
	goal := [3]float64{x.X, x.Y, x.Z}
	if !reachable(goal, w, floor) {
		return colour.Spectrum{}, ErrNoReflectance
	}
	level := math.Min(math.Max(x.Y/100, floor+0.01*(1-floor)), 0.99)
	r := colour.Constant(level)
	var multiplier [3]float64
	const (
		barrierFirst = 1e-1
		barrierLast  = 1e-8
		settled      = 1e-5  // of the conditions for a minimum, slopes of order 1
		met          = 1e-13 // of X, Y, Z, per unit; 1e-9 in L*a*b* with room to spare
	)
	for barrier := barrierFirst; ; barrier = math.Max(barrier/5, barrierLast) {
		minimise(&r, &multiplier, w, goal, floor, barrier)
		if barrier == barrierLast {
			break
		}
	}
	slope, miss := kktSize(&r, &multiplier, w, goal, floor, barrierLast)
	if !(slope < settled && miss < met) {
		return colour.Spectrum{}, errors.New("the colour lies too near the limit of what any surface can have to give it a spectrum")
	}
	return r, nil
}

// minimise moves r and the multipliers towards the minimum for one barrier.
// It need not get there except for the last, and stops where rounding does.
func minimise(r *colour.Spectrum, lambda *[3]float64, w *[3]colour.Spectrum, goal [3]float64, floor, barrier float64) {
	const steps = 40
	const there = 1e-10
	for n := 0; n < steps; n++ {
		dr, dl := newtonStep(r, lambda, w, goal, floor, barrier)
		size := math.Hypot(kktSize(r, lambda, w, goal, floor, barrier))
		moved := false
		for t := longest(r, &dr, floor); t > 1e-9; t /= 2 {
			tr, tl := *r, *lambda
			if !move(&tr, &tl, &dr, dl, t, floor) {
				continue
			}
			if math.Hypot(kktSize(&tr, &tl, w, goal, floor, barrier)) < size {
				*r, *lambda, moved = tr, tl, true
				break
			}
		}
		if !moved || size < there {
			return
		}
	}
}

// longest returns the share of a step, at most 1, that goes nine tenths of the
// way to the nearest bound.
func longest(r, dr *colour.Spectrum, floor float64) float64 {
	t := 1.0
	for i, d := range dr {
		switch {
		case d > 0:
			t = math.Min(t, 0.9*(1-r[i])/d)
		case d < 0:
			t = math.Min(t, 0.9*(r[i]-floor)/-d)
		}
	}
	return t
}

// move adds t times a step and reports whether r stayed inside its bounds.
func move(r *colour.Spectrum, lambda *[3]float64, dr *colour.Spectrum, dl [3]float64, t, floor float64) bool {
	for i := range r {
		r[i] += t * dr[i]
		if !(r[i] > floor && r[i] < 1) {
			return false
		}
	}
	for k := range lambda {
		lambda[k] += t * dl[k]
	}
	return true
}

// slopes returns the gradient of ½ Σ (second differences)² and the barrier.
func slopes(r *colour.Spectrum, floor, barrier float64) (g colour.Spectrum) {
	for i := 1; i < colour.Bands-1; i++ {
		d := r[i-1] - 2*r[i] + r[i+1]
		g[i-1] += d
		g[i] -= 2 * d
		g[i+1] += d
	}
	for i := range g {
		g[i] += barrier * (1/(1-r[i]) - 1/(r[i]-floor))
	}
	return g
}

// kktSize returns how far the conditions for a minimum are from being met:
// the norm of the slope against the constraints, and that of the miss in
// colour (X, Y, Z of 100, taken per unit).
func kktSize(r *colour.Spectrum, lambda *[3]float64, w *[3]colour.Spectrum, goal [3]float64, floor, barrier float64) (slope, miss float64) {
	g := slopes(r, floor, barrier)
	sum := 0.0
	var x [3]float64
	for i := range g {
		for k := range lambda {
			g[i] += lambda[k] * w[k][i]
			x[k] += w[k][i] * r[i]
		}
		sum += g[i] * g[i]
	}
	for k := range x {
		x[k] = (x[k] - goal[k]) / 100
	}
	return math.Sqrt(sum), norm(x)
}

// newtonStep solves the linearised conditions. The Hessian has two bands
// either side of its diagonal, so one banded factor serves the slope and the
// three constraints, and a 3 × 3 system is left for the multipliers.
func newtonStep(r *colour.Spectrum, lambda *[3]float64, w *[3]colour.Spectrum, goal [3]float64, floor, barrier float64) (dr colour.Spectrum, dl [3]float64) {
	var h [colour.Bands][3]float64 // h[i][k] is element (i, i−k)
	for i := 1; i < colour.Bands-1; i++ {
		h[i-1][0]++
		h[i][0] += 4
		h[i+1][0]++
		h[i][1] -= 2
		h[i+1][1] -= 2
		h[i+1][2]++
	}
	for i := range h {
		u, d := 1-r[i], r[i]-floor
		h[i][0] += barrier * (1/(u*u) + 1/(d*d))
	}
	factorBanded(&h)

	g := slopes(r, floor, barrier)
	for i := range g {
		for k := range lambda {
			g[i] += lambda[k] * w[k][i]
		}
	}
	y := solveBanded(&h, g)
	var z [3]colour.Spectrum
	for k := range z {
		z[k] = solveBanded(&h, w[k])
	}
	var a [3][3]float64
	var b [3]float64
	for k := range a {
		b[k] = -goal[k]
		for i := range r {
			b[k] += w[k][i] * (r[i] - y[i])
			for l := range a[k] {
				a[k][l] += w[k][i] * z[l][i]
			}
		}
	}
	dl, _ = solve3(a, b)
	for i := range dr {
		dr[i] = -y[i] - dl[0]*z[0][i] - dl[1]*z[1][i] - dl[2]*z[2][i]
	}
	return dr, dl
}

// factorBanded replaces a positive definite matrix of half-width 2 by its
// Cholesky factor.
func factorBanded(h *[colour.Bands][3]float64) {
	for i := range h {
		if i >= 2 {
			h[i][2] /= h[i-2][0]
		}
		if i >= 1 {
			if i >= 2 {
				h[i][1] -= h[i][2] * h[i-1][1]
			}
			h[i][1] /= h[i-1][0]
		}
		h[i][0] = math.Sqrt(h[i][0] - h[i][1]*h[i][1] - h[i][2]*h[i][2])
	}
}

func solveBanded(l *[colour.Bands][3]float64, x colour.Spectrum) colour.Spectrum {
	for i := range x {
		if i >= 1 {
			x[i] -= l[i][1] * x[i-1]
		}
		if i >= 2 {
			x[i] -= l[i][2] * x[i-2]
		}
		x[i] /= l[i][0]
	}
	for i := colour.Bands - 1; i >= 0; i-- {
		if i+1 < colour.Bands {
			x[i] -= l[i+1][1] * x[i+1]
		}
		if i+2 < colour.Bands {
			x[i] -= l[i+2][2] * x[i+2]
		}
		x[i] /= l[i][0]
	}
	return x
}

// reachable reports whether some reflectance strictly between floor and 1 in
// every band has the tristimulus values goal. Those that do form a convex
// solid whose faces each stand square to the cross product of two bands'
// weights (the object-colour solid of the grid), so trying every pair settles
// it.
func reachable(goal [3]float64, w *[3]colour.Spectrum, floor float64) bool {
	band := func(i int) [3]float64 { return [3]float64{w[0][i], w[1][i], w[2][i]} }
	for i := 0; i < colour.Bands; i++ {
		for j := i + 1; j < colour.Bands; j++ {
			n := cross(band(i), band(j))
			if norm(n) == 0 {
				continue
			}
			low, high := 0.0, 0.0 // of n·Σ w R
			for k := 0; k < colour.Bands; k++ {
				if d := dot(n, band(k)); d > 0 {
					low, high = low+d*floor, high+d
				} else {
					low, high = low+d, high+d*floor
				}
			}
			if x := dot(n, goal); !(x > low && x < high) {
				return false
			}
		}
	}
	return true
}

func dot(a, b [3]float64) float64 { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }

func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}
