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
	cosine []float64      // those above 0; each stands for its opposite too
	weight []float64      //
	basis  [][][2]float64 // by angle and n, (2n+1)/(n(n+1)) (π_n + τ_n), (π_n − τ_n)
	ahead  []float64      // intensity gathered at cosine
	behind []float64      // and at its opposite
	used   bool
	ab     [][4]float64 // scratch: a_n + b_n and a_n − b_n of the sphere being added
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
	a := angles{terms: terms, cosine: x[half:], weight: w[half:], ahead: make([]float64, half), behind: make([]float64, half), ab: make([][4]float64, terms)}
	for _, mu := range a.cosine {
		basis := make([][2]float64, terms)
		before, now := 0.0, 1.0
		for n := 1; n <= terms; n++ {
			fn := float64(n)
			scale := (2*fn + 1) / (fn * (fn + 1))
			tau := fn*mu*now - (fn+1)*before
			basis[n-1] = [2]float64{scale * (now + tau), scale * (now - tau)}
			before, now = now, ((2*fn+1)*mu*now-(fn+1)*before)/fn
		}
		a.basis = append(a.basis, basis)
	}
	return a
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

// add goes by 2i = |S₁+S₂|² + |S₁−S₂|², whose sums over (a±b)(π±τ) also serve the
// opposite direction: π_n(−μ) = (−1)^(n−1) π_n(μ), τ_n(−μ) = (−1)^n τ_n(μ).
func (p *angles) add(w *Workspace, share float64) {
	p.used = true
	ab := p.ab[:len(w.a)]
	for i, a := range w.a {
		u, v := a+w.b[i], a-w.b[i]
		ab[i] = [4]float64{real(u), imag(u), real(v), imag(v)}
	}
	for j, basis := range p.basis {
		var sum, diff, sumBack, diffBack [2]float64
		sign := 1.0
		basis = basis[:len(ab)]
		for i := range ab {
			u0, u1, v0, v1 := ab[i][0], ab[i][1], ab[i][2], ab[i][3]
			plus, minus := basis[i][0], basis[i][1]
			sum[0] += u0 * plus
			sum[1] += u1 * plus
			diff[0] += v0 * minus
			diff[1] += v1 * minus
			plus *= sign
			minus *= sign
			sumBack[0] += u0 * minus
			sumBack[1] += u1 * minus
			diffBack[0] += v0 * plus
			diffBack[1] += v1 * plus
			sign = -sign
		}
		p.ahead[j] += share / 2 * (square(sum) + square(diff))
		p.behind[j] += share / 2 * (square(sumBack) + square(diffBack))
	}
}

func square(z [2]float64) float64 { return z[0]*z[0] + z[1]*z[1] }

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
	for j, mu := range p.cosine {
		even := p.weight[j] * (p.ahead[j] + p.behind[j])
		odd := p.weight[j] * (p.ahead[j] - p.behind[j])
		before, now := 0.0, 1.0
		for l := range chi {
			if l&1 == 0 {
				chi[l] += even * now
			} else {
				chi[l] += odd * now
			}
			fl := float64(l)
			before, now = now, ((2*fl+1)*mu*now-fl*before)/(fl+1)
		}
	}
}
