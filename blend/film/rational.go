package film

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// The film's streams need g(M) = tanh(√M/2)/√M of a 2×2 matrix M, and of it the
// divided differences against e², the square of a beam's fading:
//
//	D = −(g(M) − g(e²))/(M − e²)     T = (τ(M) − τ(e²))/(M − e²),   τ(x) = x g(x)
//
// g is a Stieltjes function, 4 Σ 1/((2k−1)²π² + x). Its Gauss rule of few poles,
//
//	g(x) ≈ Σ w/(α + x)    D = Σ w/((α+M)(α+e²))    T = Σ wα/((α+M)(α+e²))
//
// is exact to rounding up to x = reach and turns both into sums of positive
// terms, so M's equal eigenvalues, e² on an eigenvalue and M = 0 are no cases.
// Farther out the film is halved until it is within reach, and doubled again by
// tanh 2u = 2 tanh u/(1 + tanh² u), in terms that are still positive:
//
//	g(4x)   = γ/N,   N = 1 + γτ
//	D(4x,4y) = ¼ (D + γ γ_y T)/(N N_y)
//	T(4x,4y) = (T + τ τ_y D)/(N N_y)
const (
	poles = 5
	reach = 8.0
)

var pole, weight = gauss()

// gauss returns the rule, by Golub and Welsch (Math. Comp. 23 (1969) 221) from
// Lambert's continued fraction tanh(y)/y = 1/(1 + y²/(3 + y²/(5 + …))).
func gauss() (pole, weight [poles]float64) {
	// In Stieltjes' form the fraction's numerators are 1/((2k−3)(2k−1)).
	num := func(k int) float64 { return 1 / float64((2*k-3)*(2*k-1)) }
	j := mat.NewSymDense(poles, nil)
	for i := range poles {
		diagonal := num(2*i + 2)
		if i > 0 {
			diagonal += num(2*i + 1)
			j.SetSym(i, i-1, math.Sqrt(num(2*i)*num(2*i+1)))
		}
		j.SetSym(i, i, diagonal)
	}
	var eig mat.EigenSym
	if !eig.Factorize(j, true) {
		panic("film: the Gauss rule of tanh does not converge")
	}
	var v mat.Dense
	eig.VectorsTo(&v)
	for i, u := range eig.Values(nil) {
		// tanh(√x/2)/√x = ½ Σ v²/(1 + u x/4)
		pole[i] = 4 / u
		weight[i] = 2 / u * v.At(0, i) * v.At(0, i)
	}
	return pole, weight
}

// elem is the matrix one + adj·adj(M), with M of trace t and determinant d.
// They commute, as functions of one matrix do.
type elem struct{ one, adj float64 }

func (a elem) plus(b elem) elem { return elem{a.one + b.one, a.adj + b.adj} }

func (a elem) scaled(s float64) elem { return elem{a.one * s, a.adj * s} }

// times is the product, adj² = t·adj − d.
func (a elem) times(b elem, t, d float64) elem {
	return elem{a.one*b.one - a.adj*b.adj*d, a.one*b.adj + a.adj*b.one + a.adj*b.adj*t}
}

// timesM is M·a.
func (a elem) timesM(t, d float64) elem { return elem{a.one*t + a.adj*d, -a.one} }

func (a elem) inverse(t, d float64) elem {
	over := 1 / (a.one*a.one + a.one*a.adj*t + a.adj*a.adj*d)
	return elem{(a.one + a.adj*t) * over, -a.adj * over}
}

// level is g, and T and D against both beams, at one thickness.
type level struct {
	g    elem
	t, d [2]elem    // against e0², eb²
	at   [2]float64 // g(e²)
}

// hyperbolic holds every level from the thinnest, and what is needed to go back.
type hyperbolic struct {
	doublings int
	scale     float64           // 4^−doublings
	t, d      float64           // of M, scaled
	y         [2]float64        // e², scaled
	over      [poles][3]float64 // 1/(α² + αt + d), 1/(α + y)
	levels    [maxDoublings + 1]level
}

// maxDoublings allows for an optical depth of 10⁹.
const maxDoublings = 32

// functions fills out with g, T and D, their adj in terms of the whole M.
func (h *hyperbolic) functions(t, d float64, e *[2]float64, out *level) {
	h.doublings, h.scale = 0, 1
	h.y = [2]float64{e[0] * e[0], e[1] * e[1]}
	for most := max(t, h.y[0], h.y[1]); most > reach && h.doublings < maxDoublings; most /= 4 {
		h.doublings++
		h.scale /= 4
	}
	h.t, h.d = t*h.scale, d*h.scale*h.scale
	h.y[0] *= h.scale
	h.y[1] *= h.scale
	// The sums stay in registers: g, and D and T of c (0) and of b (1).
	var g, d0, d1 elem
	var at0, at1, t0, t1 float64
	for j := range poles {
		p := pole[j]
		// One division serves three.
		m, y0, y1 := p*(p+h.t)+h.d, p+h.y[0], p+h.y[1]
		all := 1 / (m * y0 * y1)
		o0, o1 := all*m*y1, all*m*y0
		h.over[j] = [3]float64{all * y0 * y1, o0, o1}
		at0 += weight[j] * o0
		at1 += weight[j] * o1
		r := weight[j] * all * y0 * y1
		g.adj += r
		d0.adj += r * o0
		d1.adj += r * o1
		r *= p
		g.one += r
		d0.one += r * o0
		d1.one += r * o1
		r *= p
		t0 += r * o0
		t1 += r * o1
	}
	h.levels[0] = level{g: g, t: [2]elem{{t0, d0.one}, {t1, d1.one}}, d: [2]elem{d0, d1}, at: [2]float64{at0, at1}}
	thick := 1.0
	for n := range h.doublings {
		y := [2]float64{h.y[0] * thick, h.y[1] * thick}
		h.levels[n+1] = h.levels[n].doubled(h.t, h.d, thick, &y)
		thick *= 4
	}
	*out = h.levels[h.doublings]
	if h.doublings > 0 {
		out.rescale(h.scale)
	}
}

// rescale turns adj from the adjugate of a scaled M to that of the whole, or
// derivatives by it back.
func (l *level) rescale(scale float64) {
	l.g.adj *= scale
	for i := range 2 {
		l.t[i].adj *= scale
		l.d[i].adj *= scale
	}
}
