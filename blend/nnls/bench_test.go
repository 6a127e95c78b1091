package nnls

import "testing"

// The shape of one matching step: four powders, three colour coordinates.
func step(seed int) *Problem {
	d := newDraw(seed)
	p := &Problem{Rows: 3, Cols: 4, G: ones(4), C: 0.1}
	for range 12 {
		p.A = append(p.A, 100*(2*d.u()-1))
	}
	for range 3 {
		p.B = append(p.B, 5*(2*d.u()-1))
	}
	return p
}

const benchSystems = 256

func smallSteps() (qs [benchSystems]Small) {
	for i := range qs {
		qs[i] = *smallOf(step(i))
	}
	return qs
}

func BenchmarkSmallTotal4(b *testing.B) {
	b.ReportAllocs()
	qs := smallSteps()
	var x Vector
	for i := 0; b.Loop(); i++ {
		if _, err := qs[i%benchSystems].Total(0.1, &x); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSmallBetween4(b *testing.B) {
	b.ReportAllocs()
	qs := smallSteps()
	var x Vector
	for i := 0; b.Loop(); i++ {
		if _, err := qs[i%benchSystems].Between(0, 0.1, &x); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSolverTotal4(b *testing.B) {
	b.ReportAllocs()
	var ps [benchSystems]*Problem
	for i := range ps {
		ps[i] = step(i)
	}
	s := NewSolver(3, 4)
	x := make([]float64, 4)
	for i := 0; b.Loop(); i++ {
		if _, err := s.Solve(x, ps[i%benchSystems]); err != nil {
			b.Fatal(err)
		}
	}
}

// A whole drawer at once: 36 bands, 40 powders.
func BenchmarkSolver36x40(b *testing.B) {
	b.ReportAllocs()
	d := newDraw(1)
	p := &Problem{Rows: 36, Cols: 40, G: ones(40), C: 1}
	for range 36 * 40 {
		p.A = append(p.A, d.u())
	}
	for range 36 {
		p.B = append(p.B, d.u())
	}
	s := NewSolver(36, 40)
	x := make([]float64, 40)
	for b.Loop() {
		if _, err := s.Solve(x, p); err != nil {
			b.Fatal(err)
		}
	}
}
