package nnls

import (
	"math"
	"testing"
)

const benchSystems = 256

// steps have the shape of one matching step: four powders, three colour
// coordinates, shares that may give and take a tenth of the load.
func steps() (qs [benchSystems]Problem) {
	for seed := range qs {
		d := newDraw(seed)
		p := &dense{Rows: 3, Cols: 4}
		for range 12 {
			p.A = append(p.A, 100*(2*d.u()-1))
		}
		for range 3 {
			p.B = append(p.B, 5*(2*d.u()-1))
		}
		qs[seed] = *normal(p)
		for i := range 4 {
			qs[seed].H[i][i] += 1e-5
			qs[seed].Lo[i], qs[seed].Hi[i] = -0.025, 0.075
		}
	}
	return qs
}

func BenchmarkTotal4(b *testing.B) {
	qs := steps()
	for i := range qs {
		qs[i].SumLo, qs[i].SumHi = 0, 0
	}
	benchmark(b, &qs)
}

func BenchmarkBetween4(b *testing.B) {
	qs := steps()
	for i := range qs {
		qs[i].SumLo, qs[i].SumHi = -0.1, 0.05
	}
	benchmark(b, &qs)
}

func BenchmarkCeiling4(b *testing.B) {
	qs := steps()
	for i := range qs {
		qs[i].SumLo, qs[i].SumHi = -0.1, 0.05
		qs[i].Cost, qs[i].CostHi = Vector{1, 2, 0.5, 4}, 0.02
	}
	benchmark(b, &qs)
}

func benchmark(b *testing.B, qs *[benchSystems]Problem) {
	b.ReportAllocs()
	var x Vector
	for i := 0; b.Loop(); i++ {
		if _, err := qs[i%benchSystems].Solve(&x); err != nil {
			b.Fatal(err)
		}
	}
}

func TestNoAllocation(t *testing.T) {
	qs := steps()
	qs[0].SumLo, qs[0].SumHi, qs[0].CostHi = 0, math.Inf(1), 0.02
	var x Vector
	if n := testing.AllocsPerRun(100, func() { qs[0].Solve(&x) }); n != 0 {
		t.Errorf("%g allocations", n)
	}
}
