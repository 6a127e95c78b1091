package leastsquares

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Residuals is a Problem of Count residuals.
type Residuals struct {
	Count int
	At    func(x, r []float64) error // fills r at x

	r, moved, x []float64
	j           *mat.Dense
}

// Cost is half the sum of squares.
func (p *Residuals) Cost(x []float64) (float64, error) {
	p.size(len(x))
	if err := p.At(x, p.r); err != nil {
		return math.Inf(1), err
	}
	sum := 0.0
	for _, v := range p.r {
		sum += v * v / 2
	}
	if math.IsNaN(sum) {
		return math.Inf(1), nil
	}
	return sum, nil
}

// Normal fills g = Jᵀr and H = JᵀJ.
func (p *Residuals) Normal(x, g []float64, h *mat.SymDense) error {
	p.size(len(x))
	if err := p.slopes(x); err != nil {
		return err
	}
	raw := p.j.RawMatrix()
	for a := range g {
		g[a] = 0
		for k, r := range p.r {
			g[a] += raw.Data[k*raw.Stride+a] * r
		}
		for b := a; b < len(g); b++ {
			sum := 0.0
			for k := 0; k < len(raw.Data); k += raw.Stride {
				sum += raw.Data[k+a] * raw.Data[k+b]
			}
			h.SetSym(a, b, sum)
		}
	}
	return nil
}

// slopes fills r and j, by forward differences.
func (p *Residuals) slopes(x []float64) error {
	if err := p.At(x, p.r); err != nil {
		return err
	}
	copy(p.x, x)
	for i := range x {
		by := 1e-7 * (1 + math.Abs(x[i]))
		p.x[i] = x[i] + by
		if err := p.At(p.x, p.moved); err != nil {
			return err
		}
		p.x[i] = x[i]
		for k, v := range p.moved {
			p.j.Set(k, i, (v-p.r[k])/by)
		}
	}
	return nil
}

func (p *Residuals) size(n int) {
	if len(p.r) == p.Count && len(p.x) == n {
		return
	}
	p.r, p.moved, p.x = make([]float64, p.Count), make([]float64, p.Count), make([]float64, n)
	p.j = mat.NewDense(p.Count, n, nil)
}
