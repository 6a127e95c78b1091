// Package mie computes how a homogeneous sphere scatters and absorbs light, by
// the series of Mie as set out by Bohren and Huffman, Absorption and
// Scattering of Light by Small Particles (1983), ch. 4 and app. A.
//
// # Notation
//
// x = π d n₀/λ is the size parameter of a sphere of diameter d in a medium of
// index n₀, λ the vacuum wavelength; m = (n + ik)/n₀ is the sphere's relative
// index, k ≥ 0 for absorption. With the Riccati–Bessel functions
// ψ_n(x) = x j_n(x), ξ_n = ψ_n − iχ_n, χ_n = −x y_n(x), and the logarithmic
// derivative D_n(mx) = ψ_n′(mx)/ψ_n(mx),
//
//	a_n = [(D_n/m + n/x) ψ_n − ψ_{n−1}] / [(D_n/m + n/x) ξ_n − ξ_{n−1}]
//	b_n = [(m D_n + n/x) ψ_n − ψ_{n−1}] / [(m D_n + n/x) ξ_n − ξ_{n−1}]
//
//	Q_ext = 2/x² Σ (2n+1) Re(a_n + b_n)
//	Q_sca = 2/x² Σ (2n+1) (|a_n|² + |b_n|²)
//	g Q_sca = 4/x² Σ [ n(n+2)/(n+1) Re(a_n a*_{n+1} + b_n b*_{n+1})
//	                 + (2n+1)/(n(n+1)) Re(a_n b*_n) ]
//
// summed to n = x + 4.05 x^⅓ + 2 (Wiscombe, Appl. Opt. 19 (1980) 1505). D_n
// comes by downward recurrence, which is stable for every m. ψ_n goes up while
// n ≤ x and from there by ψ_n = ψ_{n−1}/(D_n(x) + n/x) with D_n(x) again
// downward, so that small spheres lose no digits; χ_n grows and goes up.
package mie

import (
	"fmt"
	"math"
)

// Limits of what is accepted. Pigments need x from 0.05 to 200.
const (
	MinSize  = 1e-6 // least size parameter
	MaxSize  = 2e4  // greatest size parameter
	MaxIndex = 15.0 // greatest |m|
)

// Efficiency is a sphere's cross-sections over its shadow πd²/4.
type Efficiency struct {
	Ext float64 // extinction, dimensionless
	Sca float64 // scattering, dimensionless
	Abs float64 // absorption, Ext − Sca, exactly 0 for a real index
	G   float64 // mean cosine of the scattering angle, −1 to 1
}

// Workspace keeps the arrays of one calculation for the next. The zero
// Workspace is ready; one is used by one goroutine at a time.
type Workspace struct {
	inside  []complex128 // D_n(mx)
	outside []float64    // D_n(x) where n > x
	a, b    []complex128 // a_n, b_n of the last sphere, from n = 1
}

// Sphere returns the efficiencies of one sphere.
func Sphere(x float64, m complex128) (Efficiency, error) {
	var w Workspace
	return w.Sphere(x, m)
}

// Sphere returns the efficiencies of one sphere, allocating only to grow.
func (w *Workspace) Sphere(x float64, m complex128) (Efficiency, error) {
	if !(x >= MinSize && x <= MaxSize) {
		return Efficiency{}, fmt.Errorf("size parameter %g: %g to %g is accepted", x, MinSize, MaxSize)
	}
	size := math.Hypot(real(m), imag(m))
	if !(real(m) > 0 && imag(m) >= 0 && size >= 0.01 && size <= MaxIndex) {
		return Efficiency{}, fmt.Errorf("relative index %g: a positive real part, an imaginary part of 0 or more and a modulus of 0.01 to %g are accepted", m, MaxIndex)
	}
	w.series(x, m)
	var e Efficiency
	var aBefore, bBefore complex128
	forward := 0.0
	for i, a := range w.a {
		b := w.b[i]
		fn := float64(i + 1)
		e.Ext += (2*fn + 1) * (real(a) + real(b))
		e.Sca += (2*fn + 1) * (Norm(a) + Norm(b))
		forward += (2*fn + 1) / (fn * (fn + 1)) * dot(a, b)
		if i > 0 {
			forward += (fn*fn - 1) / fn * (dot(aBefore, a) + dot(bBefore, b))
		}
		aBefore, bBefore = a, b
	}
	if e.Sca > 0 { // m = 1 scatters nothing and has no direction
		e.G = 2 * forward / e.Sca
	}
	e.Ext *= 2 / (x * x)
	e.Sca *= 2 / (x * x)
	if imag(m) == 0 {
		e.Sca = e.Ext // a real index absorbs nothing; the two sums differ by rounding
	}
	e.Abs = e.Ext - e.Sca
	return e, nil
}

// Terms is how many terms a sphere of size parameter x takes.
func Terms(x float64) int { return int(x + 4.05*math.Cbrt(x) + 2) }

// series fills a and b from n = 1.
func (w *Workspace) series(x float64, m complex128) {
	terms := Terms(x)
	w.derivatives(x, m, terms)
	w.a, w.b = w.a[:0], w.b[:0]
	psiBefore, psi := math.Cos(x), math.Sin(x)  // n = −1, 0
	chiBefore, chi := -math.Sin(x), math.Cos(x) // n = −1, 0
	overM, overX := 1/m, 1/x
	for n := 1; n <= terms; n++ {
		fn := float64(n)
		ratio := fn * overX
		step := 2*ratio - overX
		// n−1 becomes n.
		if fn <= x {
			psiBefore, psi = psi, step*psi-psiBefore
		} else {
			psiBefore, psi = psi, psi/(w.outside[n]+ratio)
		}
		chiBefore, chi = chi, step*chi-chiBefore

		u := w.inside[n]*overM + complex(ratio, 0)
		v := w.inside[n]*m + complex(ratio, 0)
		p, q := along(u, psi, psiBefore), along(u, chi, chiBefore)
		w.a = append(w.a, p*Inverse(complex(real(p)+imag(q), imag(p)-real(q))))
		p, q = along(v, psi, psiBefore), along(v, chi, chiBefore)
		w.b = append(w.b, p*Inverse(complex(real(p)+imag(q), imag(p)-real(q))))
	}
}

// along is u x − before; a_n is such a sum of ψ over the same less i times that of χ.
func along(u complex128, x, before float64) complex128 {
	return complex(real(u)*x-before, imag(u)*x)
}

// derivatives fills D_n(mx), and D_n(x) where n > x, downward. What a start is off
// by shrinks at each step by (t + √(t² − 1))², t = n/|mx| > 1 (the slope of Bessel
// functions past their turning point, Debye's): to 1e-15 in seven cube roots of |mx|, and four steps for the smallest.
// Starting a fixed 15 terms past it, as is often done, loses five digits at x = 100
// and more beyond.
func (w *Workspace) derivatives(x float64, m complex128, terms int) {
	z := m * complex(x, 0)
	past := func(modulus float64) int { return max(terms, int(modulus+7*math.Cbrt(modulus))) + 4 }
	if cap(w.inside) < terms+1 {
		w.inside = make([]complex128, terms+1)
		w.outside = make([]float64, terms+1)
	}
	w.inside, w.outside = w.inside[:terms+1], w.outside[:terms+1]
	d, overZ := complex(0, 0), 1/z
	for n := past(math.Sqrt(Norm(z))); n > 0; n-- {
		fn := float64(n)
		r := complex(fn*real(overZ), fn*imag(overZ))
		d = r - Inverse(d+r) // D_{n−1}
		if n-1 <= terms {
			w.inside[n-1] = d
		}
	}
	c, overX := 0.0, 1/x
	for n := past(x); float64(n-1) > x; n-- {
		r := float64(n) * overX
		c = r - 1/(c+r)
		if n-1 <= terms {
			w.outside[n-1] = c
		}
	}
}

// Inverse is 1/z without the care for infinities that the language's division
// takes, and in a third of its time; nothing here comes near them.
func Inverse(z complex128) complex128 {
	n := 1 / Norm(z)
	return complex(real(z)*n, -imag(z)*n)
}

// Norm is |z|².
func Norm(z complex128) float64 { return real(z)*real(z) + imag(z)*imag(z) }

// dot is Re(a b*).
func dot(a, b complex128) float64 { return real(a)*real(b) + imag(a)*imag(b) }
