package nnls

import (
	"math"
	"testing"
)

// boxed is a problem drawn with every kind of bound.
func boxed(seed int) *Problem {
	d := newDraw(seed)
	p := normal(drawn(seed, false))
	for i := range p.N {
		p.Lo[i], p.Hi[i] = -0.3*d.u(), 0.3*d.u()
		p.Cost[i] = d.u()
	}
	p.SumLo, p.SumHi, p.CostHi = -0.2*d.u(), 0.2*d.u(), 0.2*d.u()
	return p
}

// Numbers told in other units have the same answer.
func TestUnits(t *testing.T) {
	for seed := 4001; seed <= 4100; seed++ {
		first := boxed(seed)
		var want Vector
		wantMu, err := first.Solve(&want)
		if err != nil {
			t.Fatal(err)
		}
		for _, u := range []struct{ amount, value, cost float64 }{
			{0x1p-60, 1, 1}, {0x1p60, 1, 1}, {1, 0x1p-60, 1}, {1, 0x1p60, 1}, {1, 1, 0x1p-10}, {1, 1, 0x1p10},
		} {
			p := *first
			for i := range p.N {
				p.Lo[i] *= u.amount
				p.Hi[i] *= u.amount
				p.Cost[i] *= u.cost
				p.G[i] *= u.amount * u.value
				for j := range p.N {
					p.H[i][j] *= u.value
				}
			}
			p.SumLo *= u.amount
			p.SumHi *= u.amount
			p.CostHi *= u.amount * u.cost
			var x Vector
			mu, err := p.Solve(&x)
			if err != nil {
				t.Fatal(err)
			}
			off := math.Abs(mu.Sum/(u.amount*u.value) - wantMu.Sum)
			off = max(off, math.Abs(mu.Cost/(u.amount*u.value)*u.cost-wantMu.Cost))
			for i := range x {
				off = max(off, math.Abs(x[i]/u.amount-want[i]))
			}
			if off > 1e-12 {
				t.Errorf("seed %d, %+v: %v %+v, want %v %+v", seed, u, x, mu, want, wantMu)
			}
		}
	}
}

// Closed forms, each with its multipliers, of ½|A x − b|² with A diagonal.
func TestClosedForms(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		name         string
		a, b, cost   []float64
		sumLo, sumHi float64
		ceiling      float64
		want         Vector
		mu           Multipliers
	}{
		// A column ten million times as long swamps the others' differences from it.
		{"total kept beside a long column", []float64{1e7, 1, 1}, []float64{0, 1, -1}, nil, 0, 0, inf, Vector{0, 1, -1}, Multipliers{}},
		{"the same, the long one last", []float64{1, 1, 1e7}, []float64{1, -1, 0}, nil, 0, 0, inf, Vector{1, -1}, Multipliers{}},
		{"cost kept beside what costs nothing", []float64{1, 1, 1}, []float64{1, 2, 1}, []float64{0, 1, 1}, -inf, inf, 0, Vector{1, 0.5, -0.5}, Multipliers{Cost: -1.5}},
		{"the same, what costs nothing last", []float64{1, 1, 1}, []float64{2, 1, 1}, []float64{1, 1, 0}, -inf, inf, 0, Vector{0.5, -0.5, 1}, Multipliers{Cost: -1.5}},
		// b less its mean, less what of it goes along the cost less its mean.
		{"total and cost kept", []float64{1, 1, 1}, []float64{1, 0, 2}, []float64{0, 1, 2}, 0, 0, 0, Vector{0.5, -1, 0.5}, Multipliers{Sum: -0.5, Cost: -0.5}},
		{"total at most", []float64{1, 1}, []float64{1, 2}, nil, -inf, 1, inf, Vector{0, 1}, Multipliers{Sum: -1}},
		{"total at least", []float64{1, 1}, []float64{-1, -2}, nil, -1, inf, inf, Vector{0, -1}, Multipliers{Sum: 1}},
		{"cost at most", []float64{1, 1}, []float64{1, 2}, []float64{1, 1}, -inf, inf, 1, Vector{0, 1}, Multipliers{Cost: -1}},
	} {
		p := &Problem{N: len(c.a), SumLo: c.sumLo, SumHi: c.sumHi, CostHi: c.ceiling}
		for i, a := range c.a {
			p.H[i][i], p.G[i] = a*a, -a*c.b[i]
			p.Lo[i], p.Hi[i] = -inf, inf
		}
		copy(p.Cost[:], c.cost)
		var x Vector
		mu, err := p.Solve(&x)
		off := max(math.Abs(mu.Sum-c.mu.Sum), math.Abs(mu.Cost-c.mu.Cost))
		for i := range x {
			off = max(off, math.Abs(x[i]-c.want[i]))
		}
		if err != nil || off > 1e-12 {
			t.Errorf("%s: %v %+v (%v), want %v %+v", c.name, x, mu, err, c.want, c.mu)
		}
	}
}

// As many variables as there may be, none of which can move, whatever else is held.
func TestAllFixed(t *testing.T) {
	p := Problem{N: Most}
	for i := range p.G {
		p.G[i], p.H[i][i], p.Cost[i] = float64(i)-3, 1, 1
	}
	var x Vector
	if mu, err := p.Solve(&x); err != nil || x != (Vector{}) {
		t.Errorf("%v, %+v, %v", x, mu, err)
	}
}
