package nnls

import (
	"errors"
	"math"
	"testing"
)

// Lawson and Hanson's conditions for a solution of NNLS (1974, theorem 23.4):
// x > 0 where the dual w = Aᵀ(b − A x) is 0, and w ≤ 0 where x = 0.
func TestLawsonHansonConditions(t *testing.T) {
	for seed := 2001; seed <= 2300; seed++ {
		p := drawn(seed, true)
		var x Vector
		if _, err := normal(p).Solve(&x); err != nil {
			t.Fatal(err)
		}
		r := append([]float64(nil), p.B...)
		for j, v := range x[:p.Cols] {
			for i, a := range p.column(j) {
				r[i] -= a * v
			}
		}
		for j, v := range x[:p.Cols] {
			w := dot(p.column(j), r)
			switch {
			case v < 0:
				t.Errorf("seed %d: x[%d] = %g", seed, j, v)
			case v > 0 && math.Abs(w) > 1e-13*10:
				t.Errorf("seed %d: x[%d] = %g but w = %g", seed, j, v, w)
			case w > 1e-13*10:
				t.Errorf("seed %d: x[%d] = 0 but w = %g", seed, j, w)
			}
		}
	}
}

func TestDegenerate(t *testing.T) {
	free := math.NaN() // no total held
	for _, c := range []struct {
		name     string
		p        dense
		total    float64
		residual float64
	}{
		{"zero columns", dense{Rows: 2, Cols: 2, A: make([]float64, 4), B: []float64{3, 4}}, free, 5},
		{"zero columns held to a total", dense{Rows: 2, Cols: 2, A: make([]float64, 4), B: []float64{3, 4}, G: ones(2)}, 1, 5},
		{"twins", dense{Rows: 2, Cols: 3, A: []float64{1, 0, 1, 0, 1, 0}, B: []float64{2, 1}}, free, 1},
		{"twins held to a total", dense{Rows: 2, Cols: 3, A: []float64{1, 0, 1, 0, 1, 0}, B: []float64{2, 1}, G: ones(3)}, 1, math.Sqrt2},
		{"b zero", dense{Rows: 2, Cols: 2, A: []float64{1, 2, 3, 4}, B: []float64{0, 0}}, free, 0},
		{"total zero", dense{Rows: 2, Cols: 2, A: []float64{1, 2, 3, 4}, B: []float64{3, 4}, G: ones(2)}, 0, 5},
		{"no columns", dense{Rows: 2, B: []float64{3, 4}}, free, 5},
		{"more columns than rows", dense{Rows: 1, Cols: 3, A: []float64{1, 2, 3}, B: []float64{6}}, free, 0},
	} {
		var x Vector
		var mu Multipliers
		var err error
		if p := c.p; math.IsNaN(c.total) {
			mu, err = normal(&p).Solve(&x)
		} else {
			c.p.C = c.total
			mu, err = totalled(&p, c.total, &x)
		}
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		// The multiplier here is of the value's slope, kkt's of the fall.
		o, res := kkt(&c.p, x[:c.p.Cols], -mu.Sum), residualNorm(&c.p, x[:c.p.Cols])
		if o.worst() > 1e-14 || math.Abs(res-c.residual) > 1e-14 {
			t.Errorf("%s: x %v, residual %g want %g, KKT %+v", c.name, x, res, c.residual, o)
		}
	}
	fixed := nonNegative(2)
	fixed.H, fixed.G, fixed.Hi = [Most]Vector{{1, 1}, {1, 1}}, Vector{-5, -5}, Vector{}
	var x Vector
	if _, err := fixed.Solve(&x); err != nil || x != (Vector{}) {
		t.Errorf("all fixed: %v, %v", x, err)
	}
}

func TestRefused(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]struct {
		change func(p *Problem)
		want   error
	}{
		"nine variables":     {func(p *Problem) { p.N = 9 }, ErrShape},
		"fewer than none":    {func(p *Problem) { p.N = -1 }, ErrShape},
		"NaN slope":          {func(p *Problem) { p.G[0] = nan }, ErrNotFinite},
		"infinite curvature": {func(p *Problem) { p.H[0][0] = math.Inf(1) }, ErrNotFinite},
		"NaN price":          {func(p *Problem) { p.Cost[0] = nan }, ErrNotFinite},
		"NaN bound":          {func(p *Problem) { p.Hi[0] = nan }, ErrInfeasible},
		"bounds above 0":     {func(p *Problem) { p.Lo[0] = 1 }, ErrInfeasible},
		"bounds below 0":     {func(p *Problem) { p.Hi[0] = -1 }, ErrInfeasible},
		"total above 0":      {func(p *Problem) { p.SumLo = 1 }, ErrInfeasible},
		"total below 0":      {func(p *Problem) { p.SumHi = -1 }, ErrInfeasible},
		"NaN total":          {func(p *Problem) { p.SumHi = nan }, ErrInfeasible},
		"ceiling below 0":    {func(p *Problem) { p.CostHi = -1 }, ErrInfeasible},
	} {
		p := nonNegative(2)
		p.H, p.G = [Most]Vector{{1}, {0, 1}}, Vector{-1, -1}
		c.change(&p)
		var x Vector
		if _, err := p.Solve(&x); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
	var none Problem
	var x Vector
	if _, err := none.Solve(&x); err != nil {
		t.Errorf("the zero Problem: %v", err)
	}
}

// A poorly scaled total is still met to one rounding of it.
func TestTotalIsExact(t *testing.T) {
	for seed := 3001; seed <= 3400; seed++ {
		p := drawn(seed, false)
		total := math.Pow(10, float64(seed%9)-4)
		var x Vector
		if _, err := totalled(p, total, &x); err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, v := range x[:p.Cols] {
			sum += v
		}
		if d := math.Abs(sum-total) / total; d > 1e-15 {
			t.Errorf("seed %d: total %g off by %g of itself", seed, total, d)
		}
	}
}
