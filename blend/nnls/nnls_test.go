package nnls

import (
	"errors"
	"math"
	"testing"
)

// Lawson and Hanson's conditions for a solution of NNLS (1974, theorem 23.4):
// x > 0 where the dual w = Aᵀ(b − A x) is 0, and w ≤ 0 where x = 0.
func TestLawsonHansonConditions(t *testing.T) {
	s := NewSolver(17, 8)
	for seed := 2001; seed <= 2300; seed++ {
		p := drawn(seed, true)
		x := make([]float64, p.Cols)
		if _, err := s.Solve(x, p); err != nil {
			t.Fatal(err)
		}
		r := append([]float64(nil), p.B...)
		for j, v := range x {
			for i, a := range p.column(j) {
				r[i] -= a * v
			}
		}
		for j, v := range x {
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
	inf := math.Inf(1)
	for _, c := range []struct {
		name     string
		p        Problem
		residual float64
	}{
		{"zero columns", Problem{Rows: 2, Cols: 2, A: make([]float64, 4), B: []float64{3, 4}}, 5},
		{"zero columns held to a total", Problem{Rows: 2, Cols: 2, A: make([]float64, 4), B: []float64{3, 4}, G: ones(2), C: 1}, 5},
		{"twins", Problem{Rows: 2, Cols: 3, A: []float64{1, 0, 1, 0, 1, 0}, B: []float64{2, 1}}, 1},
		{"twins held to a total", Problem{Rows: 2, Cols: 3, A: []float64{1, 0, 1, 0, 1, 0}, B: []float64{2, 1}, G: ones(3), C: 1}, math.Sqrt2},
		{"b zero", Problem{Rows: 2, Cols: 2, A: []float64{1, 2, 3, 4}, B: []float64{0, 0}}, 0},
		{"total zero", Problem{Rows: 2, Cols: 2, A: []float64{1, 2, 3, 4}, B: []float64{3, 4}, G: ones(2)}, 5},
		{"no columns", Problem{Rows: 2, B: []float64{3, 4}}, 5},
		{"no rows", Problem{Cols: 2, G: ones(2), C: 1}, 0},
		{"more columns than rows", Problem{Rows: 1, Cols: 3, A: []float64{1, 2, 3}, B: []float64{6}}, 0},
		{"all fixed", Problem{Rows: 1, Cols: 2, A: []float64{1, 1}, B: []float64{5}, Lo: []float64{1, 2}, Hi: []float64{1, 2}}, 2},
		{"total at the upper bounds", Problem{Rows: 1, Cols: 2, A: []float64{1, -1}, B: []float64{5}, Hi: []float64{0.1, 0.2}, G: ones(2), C: 0.1 + 0.2}, 5.1},
		{"equality with both signs", Problem{Rows: 1, Cols: 2, A: []float64{1, 1}, B: []float64{4}, G: []float64{1, -1}}, 0},
		{"equality on one only", Problem{Rows: 2, Cols: 2, A: []float64{1, 0, 0, 1}, B: []float64{4, 7}, G: []float64{1, 0}, C: 1, Hi: []float64{inf, inf}}, 3},
	} {
		x := make([]float64, c.p.Cols)
		res, err := NewSolver(c.p.Rows, c.p.Cols).Solve(x, &c.p)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		o, err := KKT(&c.p, x, res.Multiplier)
		if err != nil || o.Worst() > 1e-14 || math.Abs(res.Residual-c.residual) > 1e-14 {
			t.Errorf("%s: x %v, residual %g want %g, KKT %+v, %v", c.name, x, res.Residual, c.residual, o, err)
		}
	}
}

func TestRefused(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name string
		p    Problem
		want error
	}{
		{"short A", Problem{Rows: 2, Cols: 2, A: []float64{1}, B: []float64{1, 2}}, ErrShape},
		{"short G", Problem{Rows: 1, Cols: 2, A: []float64{1, 2}, B: []float64{1}, G: []float64{1}}, ErrShape},
		{"negative shape", Problem{Rows: -1, Cols: -1, A: []float64{1}}, ErrShape},
		{"larger than the solver", Problem{Rows: 4, Cols: 1, A: ones(4), B: ones(4)}, ErrShape},
		{"NaN", Problem{Rows: 1, Cols: 1, A: []float64{nan}, B: []float64{1}}, ErrNotFinite},
		{"infinite total", Problem{Rows: 1, Cols: 1, A: []float64{1}, B: []float64{1}, G: ones(1), C: math.Inf(1)}, ErrNotFinite},
		{"NaN bound", Problem{Rows: 1, Cols: 1, A: []float64{1}, B: []float64{1}, Hi: []float64{nan}}, ErrInfeasible},
		{"bounds crossed", Problem{Rows: 1, Cols: 1, A: []float64{1}, B: []float64{1}, Lo: []float64{2}, Hi: []float64{1}}, ErrInfeasible},
		{"negative total", Problem{Rows: 1, Cols: 1, A: []float64{1}, B: []float64{1}, G: ones(1), C: -1}, ErrInfeasible},
		{"total above the bounds", Problem{Rows: 1, Cols: 1, A: []float64{1}, B: []float64{1}, Hi: []float64{1}, G: ones(1), C: 1.001}, ErrInfeasible},
		{"total of nothing", Problem{Rows: 1, B: []float64{1}, G: []float64{}, C: 1}, ErrInfeasible},
	} {
		x := make([]float64, max(c.p.Cols, 0))
		if _, err := NewSolver(3, 3).Solve(x, &c.p); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
	}
	q := Small{N: 1, G: [MaxSmall]Vector{{1}}, H: Vector{1}}
	var x Vector
	for _, c := range []struct {
		name string
		f    func() (Answer, error)
		want error
	}{
		{"negative total", func() (Answer, error) { return q.Total(-1, &x) }, ErrInfeasible},
		{"NaN total", func() (Answer, error) { return q.Total(nan, &x) }, ErrNotFinite},
		{"crossed range", func() (Answer, error) { return q.Between(2, 1, &x) }, ErrInfeasible},
		{"NaN range", func() (Answer, error) { return q.Between(nan, 1, &x) }, ErrInfeasible},
		{"range below zero", func() (Answer, error) { return q.Between(-2, -1, &x) }, ErrInfeasible},
		{"above the box", func() (Answer, error) { return q.TotalIn(&Box{Hi: Vector{1}}, 2, &x) }, ErrInfeasible},
		{"below the box", func() (Answer, error) { return q.TotalIn(&Box{Lo: Vector{1}, Hi: Vector{2}}, 0.5, &x) }, ErrInfeasible},
		{"crossed box", func() (Answer, error) { return q.TotalIn(&Box{Lo: Vector{2}, Hi: Vector{1}}, 1, &x) }, ErrInfeasible},
		{"too many", func() (Answer, error) { return (&Small{N: 6}).NonNegative(&x) }, ErrShape},
		{"NaN", func() (Answer, error) { return (&Small{N: 1, H: Vector{nan}}).NonNegative(&x) }, ErrNotFinite},
	} {
		if _, err := c.f(); !errors.Is(err, c.want) {
			t.Errorf("small, %s: %v, want %v", c.name, err, c.want)
		}
	}
	var none Small
	if a, err := none.NonNegative(&x); err != nil || a.Value != 0 {
		t.Errorf("the zero Small: %v %v", a, err)
	}
	if _, err := none.Total(1, &x); !errors.Is(err, ErrInfeasible) {
		t.Errorf("a total of no variables: %v", err)
	}
}

// A poorly scaled total is still met to one rounding.
func TestTotalIsExact(t *testing.T) {
	s := NewSolver(17, 8)
	for seed := 3001; seed <= 3400; seed++ {
		p := drawn(seed, false)
		p.G, p.C = ones(p.Cols), math.Pow(10, float64(seed%9)-4)
		x := make([]float64, p.Cols)
		if _, err := s.Solve(x, p); err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, v := range x {
			sum += v
		}
		if d := math.Abs(sum-p.C) / p.C; d > 1e-15 {
			t.Errorf("seed %d: total %g off by %g of itself", seed, p.C, d)
		}
	}
}

func TestNoAllocation(t *testing.T) {
	s := NewSolver(17, 8)
	p := drawn(7, false)
	p.G, p.C = ones(p.Cols), 1
	x := make([]float64, p.Cols)
	q := smallOf(drawn(11, true))
	q.N = min(q.N, 4)
	box := Box{Hi: Vector{1, 1, 1, 1, 1}}
	var y Vector
	var err error
	if n := testing.AllocsPerRun(100, func() {
		if _, e := s.Solve(x, p); e != nil {
			err = e
		}
		if _, e := q.Total(1, &y); e != nil {
			err = e
		}
		if _, e := q.Between(0.1, 0.5, &y); e != nil {
			err = e
		}
		if _, e := q.TotalIn(&box, 0.5, &y); e != nil {
			err = e
		}
	}); n != 0 || err != nil {
		t.Errorf("%g allocations, %v", n, err)
	}
}
