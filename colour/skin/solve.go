package skin

import (
	"errors"
	"math"
	"sync"

	"tawny/colour"
	"tawny/colour/leastsquares"
)

// ErrNoReflectance says that bending found no reflectance of a colour between 0, or the
// floor asked for, and 1. A few possible colours are not found either, all within 4 %
// of that limit.
var ErrNoReflectance = errors.New("no smooth reflectance has this colour: it lies at or beyond the limit of what a surface can have")

// Reflectance returns the reflectance of skin of the colour c under v, gloss
// included, exactly: to 1e-9 in L*, a*, b*.
//
// The model's mean is bent by as much as it takes of three smooth curves. Under
// another light than D65, or for the other observer, the mean is taken at the
// D65/2 colour of the answer, which is found by going round.
func (m *Model) Reflectance(c colour.Lab, v *colour.Viewing) (colour.Spectrum, error) {
	const (
		rounds  = 100
		part    = 0.7  // of the way each time, since the whole way swings
		settled = 1e-5 // in L*, a*, b*; a hundredth of that in ln K/S
	)
	var bends [3]float64
	at := c
	for range rounds {
		mean := m.Mean(at)
		r, err := bend(&mean, v.XYZOf(c), v, skinCurves(), &bends)
		if err != nil || v == colour.D65 {
			return r, err
		}
		next := colour.D65.Lab(&r)
		if colour.DeltaE76(next, at) < settled {
			return r, nil
		}
		at = at.Towards(next, part)
	}
	return colour.Spectrum{}, ErrNoReflectance
}

// SmoothSpectrum returns a smooth reflectance of the colour c under v, strictly
// between floor and 1 in every band: a grey bent as skin's mean is, along wider
// curves. It knows nothing of skin.
func SmoothSpectrum(c colour.Lab, v *colour.Viewing, floor float64) (colour.Spectrum, error) {
	x, white := v.XYZOf(c), v.White()
	over := func(x, white float64) float64 { return (x - floor*white) / (1 - floor) }
	x = colour.XYZ{X: over(x.X, white.X), Y: over(x.Y, white.Y), Z: over(x.Z, white.Z)}
	level := min(max(x.Y/100, 0.001), 0.99)
	grey := colour.Constant(math.Log((1 - level) * (1 - level) / (2 * level)))
	r, err := bend(&grey, x, v, wideCurves(), new([3]float64))
	for i := range r {
		const nearest = 1e-9 // nothing returns all of any light
		if r[i] = floor + (1-floor)*r[i]; !(r[i] > floor && r[i] < 1-nearest) {
			return colour.Spectrum{}, ErrNoReflectance
		}
	}
	return r, err
}

// bend returns the reflectance of the tristimulus values x under v that is the mean,
// ln K/S, bent along curves. It starts from how far each curve is bent, and leaves
// there how far they were.
//
// It is Newton's method on ln X, ln Y, ln Z, in which ln K/S is nearly
// straight. A step moves ln K/S by at most maxStep in any band and is halved
// until the miss falls. Nothing is clamped.
func bend(mean *colour.Spectrum, x colour.XYZ, v *colour.Viewing, curves *[3]colour.Spectrum, bends *[3]float64) (colour.Spectrum, error) {
	if !(x.X > 0 && x.Y > 0 && x.Z > 0) {
		return colour.Spectrum{}, ErrNoReflectance
	}
	goal := [3]float64{math.Log(x.X), math.Log(x.Y), math.Log(x.Z)}
	const (
		iterations = 60
		halvings   = 30
		maxStep    = 3.0   // of ln K/S
		close      = 1e-13 // of X, Y, Z, relative; 1e-9 in L*a*b* with room to spare
		enough     = 1e-11 // accepted when rounding stops further progress
	)
	y := bent(mean, curves, bends)
	r, f, j := miss(&y, curves, v, &goal)
	size := norm(f)
	for n := 0; n < iterations && size > close; n++ {
		step, regular := leastsquares.Solve3(j, f)
		if !regular {
			break
		}
		turn := bent(&colour.Spectrum{}, curves, &step)
		largest := 0.0
		for _, t := range turn {
			largest = math.Max(largest, math.Abs(t))
		}
		scale := math.Min(1, maxStep/largest)
		better := false
		for h := 0; h < halvings; h++ {
			try := [3]float64{bends[0] - scale*step[0], bends[1] - scale*step[1], bends[2] - scale*step[2]}
			y = bent(mean, curves, &try)
			tr, tf, tj := miss(&y, curves, v, &goal)
			if ts := norm(tf); ts < size {
				*bends, r, f, j, size, better = try, tr, tf, tj, ts, true
				break
			}
			scale /= 2
		}
		if !better {
			break
		}
	}
	if !(size <= enough) {
		return colour.Spectrum{}, ErrNoReflectance
	}
	return r, nil
}

// bent returns y with each curve added so many times.
func bent(y *colour.Spectrum, curves *[3]colour.Spectrum, times *[3]float64) (b colour.Spectrum) {
	for i := range b {
		b[i] = y[i] + times[0]*curves[0][i] + times[1]*curves[1][i] + times[2]*curves[2][i]
	}
	return b
}

// miss returns the reflectance of y = ln K/S, its ln X, Y, Z less goal, and
// their slopes by how much of each curve is added to y.
func miss(y *colour.Spectrum, curves *[3]colour.Spectrum, v *colour.Viewing, goal *[3]float64) (r colour.Spectrum, f [3]float64, j [3][3]float64) {
	w := v.Weights()
	for i := range y {
		reflectance, slope := fromLogKS(y[i])
		r[i] = reflectance
		for x := range f {
			f[x] += w[x][i] * reflectance
			d := w[x][i] * slope
			for k := range curves {
				j[x][k] += d * curves[k][i]
			}
		}
	}
	for x := range f {
		for k := range curves {
			j[x][k] /= f[x]
		}
		f[x] = math.Log(f[x]) - goal[x]
	}
	return r, f, j
}

// skinCurves returns the three curves along which the ln K/S of skin may be bent: the
// weights of X, Y and Z under D65 for the 2° observer, smoothed over the scale, in nm,
// over which what people of one colour differ by hangs together. From 20 to 80 nm the
// fit is the same to the fourth digit. Among all bends with that covariance these are,
// to first order and for a grey skin, the likeliest that move X, Y and Z. They serve
// every light, so a skin read under two lights is the same skin.
var skinCurves = sync.OnceValue(func() *[3]colour.Spectrum { return curves(40) })

// wideCurves are those of a colour that no skin has: of coloured things, which change
// more slowly, 100 nm comes nearest (bells and edges of 15 to 95 nm, drawn at random).
var wideCurves = sync.OnceValue(func() *[3]colour.Spectrum { return curves(100) })

// curves are the weights of X, Y and Z under D65 smoothed by exp(−Δλ²/2·nm²), the
// largest 1.
func curves(nm float64) *[3]colour.Spectrum {
	var c [3]colour.Spectrum
	for k, w := range colour.D65.Weights() {
		largest := 0.0
		for i := range w {
			for l := range w {
				x := float64(i-l) * colour.StepNM / nm
				c[k][i] += math.Exp(-x*x/2) * w[l]
			}
			largest = math.Max(largest, c[k][i])
		}
		for i := range w {
			c[k][i] /= largest
		}
	}
	return &c
}

func norm(v [3]float64) float64 { return math.Sqrt(v[0]*v[0] + v[1]*v[1] + v[2]*v[2]) }
