package mie

import "gonum.org/v1/gonum/integrate/quad"

// Phase gathers how spheres scatter by angle,
//
//	i(μ) = |S₁|² + |S₂|²,  S₁ = Σ (2n+1)/(n(n+1)) (a_n π_n + b_n τ_n),  S₂ with π, τ exchanged
//
// (Bohren and Huffman, eqs 4.47, 4.74), at Gauss–Legendre cosines enough for the
// moments of every sphere added: few for small spheres, more for large ones.
type Phase struct {
	orders int
	rules  []angles
}

// angles are those that spheres of so many terms need.
type angles struct {
	terms  int
	weight []float64      // of the cosines above 0; each stands for its opposite too
	basis  [][][2]float64 // by cosine and n, (2n+1)/(n(n+1)) times the even and the odd one of π_n and τ_n
	legend [][]float64    // by cosine, its Legendre polynomials
	ahead  []float64      // intensity gathered at a cosine
	behind []float64      // and at its opposite
	used   bool
	ab     [][4]float64 // scratch: a_n + b_n and ±(a_n − b_n) of the sphere being added
}

// NewPhase returns a Phase for spheres of at most so many [Terms] and for moments
// up to so high an order.
func NewPhase(terms, orders int) *Phase {
	p := &Phase{orders: orders}
	// Half as many again each time: angles grow with the terms, so what a sphere
	// costs with their square.
	for n := 6; n < terms; n += n / 2 {
		p.rules = append(p.rules, newAngles(n, orders))
	}
	p.rules = append(p.rules, newAngles(terms, orders))
	return p
}

func newAngles(terms, orders int) angles {
	// i is a polynomial of degree 2·terms, and so has no moments beyond it; 2·half
	// angles are exact to degree 4·half − 1.
	half := (2*terms+min(orders, 2*terms))/4 + 1
	x, w := make([]float64, 2*half), make([]float64, 2*half)
	quad.Legendre{}.FixedLocations(x, w, -1, 1)
	a := angles{terms: terms, weight: w[half:], ahead: make([]float64, half), behind: make([]float64, half), ab: make([][4]float64, terms)}
	for _, mu := range x[half:] {
		basis := make([][2]float64, terms)
		before, now := 0.0, 1.0
		for n := 1; n <= terms; n++ {
			fn := float64(n)
			scale := (2*fn + 1) / (fn * (fn + 1))
			even, odd := scale*now, scale*(fn*mu*now-(fn+1)*before) // π_n, τ_n
			if n&1 == 0 {
				even, odd = odd, even
			}
			basis[n-1] = [2]float64{even, odd}
			before, now = now, ((2*fn+1)*mu*now-(fn+1)*before)/fn
		}
		a.basis = append(a.basis, basis)
		legend := make([]float64, min(orders, 2*terms)+1)
		Legendre(mu, legend)
		a.legend = append(a.legend, legend)
	}
	return a
}

// Legendre fills p, of two elements or more, with the Legendre polynomials P_l at x.
func Legendre(x float64, p []float64) {
	p[0], p[1] = 1, x
	for l := 1; l+1 < len(p); l++ {
		next := x * p[l]
		p[l+1] = next + float64(l)/float64(l+1)*(next-p[l-1])
	}
}

// Reset forgets the spheres added.
func (p *Phase) Reset() {
	for i := range p.rules {
		a := &p.rules[i]
		clear(a.ahead)
		clear(a.behind)
		a.used = false
	}
}

// Add adds the sphere w computed last, as share times i(μ).
func (p *Phase) Add(w *Workspace, share float64) {
	i := 0
	for p.rules[i].terms < len(w.a) {
		i++
	}
	p.rules[i].add(w, share)
}

// add goes by 2i = |S₁+S₂|² + |S₁−S₂|², sums over (a±b)(π±τ). Of π_n and τ_n one is
// even in μ and one odd, π_n the even where n is odd; with their sums apart,
// and a−b turned about where n is even, the opposite direction is had as well.
func (p *angles) add(w *Workspace, share float64) {
	p.used = true
	ab := p.ab[:len(w.a)]
	for i, a := range w.a {
		u, v := a+w.b[i], a-w.b[i]
		if i&1 == 1 {
			v = -v
		}
		ab[i] = [4]float64{real(u), imag(u), real(v), imag(v)}
	}
	for j, basis := range p.basis {
		// Of each sum the real and the imaginary part, in registers.
		var evenU, evenUi, oddU, oddUi, evenV, evenVi, oddV, oddVi float64
		basis = basis[:len(ab)]
		for i := range ab {
			x, of := &ab[i], &basis[i]
			even, odd := of[0], of[1]
			evenU += x[0] * even
			evenUi += x[1] * even
			oddU += x[0] * odd
			oddUi += x[1] * odd
			evenV += x[2] * even
			evenVi += x[3] * even
			oddV += x[2] * odd
			oddVi += x[3] * odd
		}
		// |e ± o|² = |e|² + |o|² ± 2 Re(e o*)
		same := evenU*evenU + evenUi*evenUi + oddU*oddU + oddUi*oddUi + evenV*evenV + evenVi*evenVi + oddV*oddV + oddVi*oddVi
		turned := 2 * (evenU*oddU + evenUi*oddUi - evenV*oddV - evenVi*oddVi)
		p.ahead[j] += share / 2 * (same + turned)
		p.behind[j] += share / 2 * (same - turned)
	}
}

// Moments fills chi with the Legendre moments χ_l = ½∫ p P_l dμ of what was
// added, χ_0 = 1, χ_1 = g, up to the order the Phase is for; those past 2·terms
// are 0. Nothing added scatters alike every way.
func (p *Phase) Moments(chi []float64) {
	clear(chi)
	for i := range p.rules {
		if a := &p.rules[i]; a.used {
			a.moments(chi[:min(len(chi), p.orders+1, 2*a.terms+1)])
		}
	}
	total := chi[0]
	if total == 0 {
		chi[0] = 1
		return
	}
	for l := range chi {
		chi[l] /= total
	}
}

// moments adds ∫ i P_l dμ to chi.
func (p *angles) moments(chi []float64) {
	for j, legend := range p.legend {
		even := p.weight[j] * (p.ahead[j] + p.behind[j])
		odd := p.weight[j] * (p.ahead[j] - p.behind[j])
		for l, v := range legend[:len(chi)] {
			if l&1 == 0 {
				chi[l] += even * v
			} else {
				chi[l] += odd * v
			}
		}
	}
}
