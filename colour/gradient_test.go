package colour

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The value must be DeltaE00's own and the gradient that of central
// differences, over colours near and far, the blue corner (where the rotation
// term lives) included.
func TestDeltaE00Gradient(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	draw := func() Lab {
		return Lab{100 * rng.Float64(), 120*rng.Float64() - 60, 120*rng.Float64() - 60}
	}
	for n := 0; n < 3000; n++ {
		p, q := draw(), draw()
		if n%2 == 0 {
			q = Lab{p.L + rng.NormFloat64(), p.A + rng.NormFloat64(), p.B + rng.NormFloat64()}
		}
		hp, hq := p.LCh().H, q.LCh().H
		if d := math.Abs(math.Abs(hp-hq) - 180); d < 1 || p.Chroma() < 0.5 || q.Chroma() < 0.5 {
			continue // on the seam of the mean hue the formula itself jumps
		}
		f, g, h := DeltaE00Gradient(p, q)
		if want := DeltaE00Squared(p, q); math.Abs(f-want) > 1e-9*(1+want) {
			t.Fatalf("%v, %v: f = %.12g, ΔE00² = %.12g", p, q, f, want)
		}
		const e = 1e-5
		for i := range g {
			shift := func(s float64) Lab {
				v := [3]float64{p.L, p.A, p.B}
				v[i] += s
				return Lab{v[0], v[1], v[2]}
			}
			want := (DeltaE00Squared(shift(e), q) - DeltaE00Squared(shift(-e), q)) / (2 * e)
			if math.Abs(g[i]-want) > 1e-4*(1+math.Abs(want)) {
				t.Fatalf("%v, %v: ∂f/∂%d = %.9g, differences give %.9g", p, q, i, g[i], want)
			}
		}
		// Positive semidefinite: two leading minors and the a*b* block.
		if h[0][0] < 0 || h[1][1] < 0 || h[1][1]*h[2][2]-h[1][2]*h[2][1] < -1e-9*h[1][1]*h[2][2] {
			t.Fatalf("%v, %v: Hessian %v is not positive semidefinite", p, q, h)
		}
	}
}

func BenchmarkDeltaE00Gradient(b *testing.B) {
	p, q := Lab{62, 12, 20}, Lab{61, 13, 21}
	b.ReportAllocs()
	for b.Loop() {
		DeltaE00Gradient(p, q)
	}
}

func BenchmarkDeltaE00(b *testing.B) {
	p, q := Lab{62, 12, 20}, Lab{61, 13, 21}
	b.ReportAllocs()
	for b.Loop() {
		DeltaE00(p, q)
	}
}
