package mie

import "gonum.org/v1/gonum/integrate/quad"

// Phase gathers how spheres scatter by angle,
//
//	i(μ) = |S₁|² + |S₂|²,  S₁ = Σ (2n+1)/(n(n+1)) (a_n π_n + b_n τ_n),  S₂ with π, τ exchanged
//
// (Bohren and Huffman, eqs 4.47, 4.74), at Gauss–Legendre cosines enough for
// the moments of every sphere added.
type Phase struct {
	most   int
	cosine []float64 // those above 0; each stands for its opposite too
	weight []float64
	pi     [][]float64 // by angle, (2n+1)/(n(n+1)) π_n
	tau    [][]float64
	ahead  []float64 // intensity gathered at cosine
	behind []float64 // and at its opposite
}

// NewPhase returns a Phase for spheres of at most so many [Terms].
func NewPhase(terms int) *Phase {
	half := terms + 1 // twice as many angles hold the square's 2·terms moments
	x, w := make([]float64, 2*half), make([]float64, 2*half)
	quad.Legendre{}.FixedLocations(x, w, -1, 1)
	p := &Phase{most: terms, cosine: x[half:], weight: w[half:], ahead: make([]float64, half), behind: make([]float64, half)}
	for _, mu := range p.cosine {
		pi, tau := make([]float64, terms), make([]float64, terms)
		before, now := 0.0, 1.0
		for n := 1; n <= terms; n++ {
			fn := float64(n)
			scale := (2*fn + 1) / (fn * (fn + 1))
			pi[n-1] = scale * now
			tau[n-1] = scale * (fn*mu*now - (fn+1)*before)
			before, now = now, ((2*fn+1)*mu*now-(fn+1)*before)/fn
		}
		p.pi, p.tau = append(p.pi, pi), append(p.tau, tau)
	}
	return p
}

// Reset forgets the spheres added.
func (p *Phase) Reset() {
	clear(p.ahead)
	clear(p.behind)
}

// Add adds the sphere w computed last, as share times i(μ).
func (p *Phase) Add(w *Workspace, share float64) {
	for j := range p.cosine {
		pi, tau := p.pi[j], p.tau[j]
		// π_n(−μ) = (−1)^(n−1) π_n(μ), τ_n(−μ) = (−1)^n τ_n(μ): with the four
		// products apart, odd n from even, one pass serves both directions.
		var ax, ay, bx, by [2]complex128
		for i, a := range w.a {
			b := w.b[i]
			x, y := pi[i], tau[i]
			ax[i&1] += complex(real(a)*x, imag(a)*x)
			ay[i&1] += complex(real(a)*y, imag(a)*y)
			bx[i&1] += complex(real(b)*x, imag(b)*x)
			by[i&1] += complex(real(b)*y, imag(b)*y)
		}
		p.ahead[j] += share * (norm(ax[0]+ax[1]+by[0]+by[1]) + norm(ay[0]+ay[1]+bx[0]+bx[1]))
		p.behind[j] += share * (norm(ax[0]-ax[1]-by[0]+by[1]) + norm(bx[0]-bx[1]-ay[0]+ay[1]))
	}
}

// Moments fills chi with the Legendre moments χ_l = ½∫ p P_l dμ of what was
// added, χ_0 = 1, χ_1 = g. Those past 2·terms are 0. Nothing added scatters
// alike every way.
func (p *Phase) Moments(chi []float64) {
	clear(chi)
	chi[0] = 1
	total := 0.0
	for j, w := range p.weight {
		total += w * (p.ahead[j] + p.behind[j])
	}
	if total == 0 {
		return
	}
	last := min(len(chi), 2*p.most+1)
	clear(chi)
	for j, mu := range p.cosine {
		even := p.weight[j] * (p.ahead[j] + p.behind[j]) / total
		odd := p.weight[j] * (p.ahead[j] - p.behind[j]) / total
		before, now := 0.0, 1.0
		for l := range last {
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
