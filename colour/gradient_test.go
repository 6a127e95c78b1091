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

// The Hessian against the terms' own differences: 2 JᵀJ with the rotation's share.
func TestDeltaE00Hessian(t *testing.T) {
	for _, pair := range [][2]Lab{
		{{62, 12, 20}, {58, 15, 18}}, {{30, -20, -35}, {34, -8, -42}}, {{75, 3, -30}, {70, -6, -28}},
	} {
		p, q := pair[0], pair[1]
		_, _, h := DeltaE00Gradient(p, q)
		_, _, _, rt := deltaE00Terms(p, q)
		const e = 1e-5
		var j [3][3]float64 // by L*, a*, b*: of the lightness, chroma and hue terms
		for i := range j {
			up, down := [3]float64{p.L, p.A, p.B}, [3]float64{p.L, p.A, p.B}
			up[i] += e
			down[i] -= e
			l1, c1, h1, _ := deltaE00Terms(labOf(up), q)
			l0, c0, h0, _ := deltaE00Terms(labOf(down), q)
			j[i] = [3]float64{(l1 - l0) / (2 * e), (c1 - c0) / (2 * e), (h1 - h0) / (2 * e)}
		}
		for i, x := range j {
			for k, y := range j {
				want := 2*(x[0]*y[0]+x[1]*y[1]+x[2]*y[2]) + rt*(x[1]*y[2]+y[1]*x[2])
				if !(math.Abs(h[i][k]-want) < 1e-6) {
					t.Errorf("%v, %v: H[%d][%d] = %.9g, want %.9g", p, q, i, k, h[i][k], want)
				}
			}
		}
	}
}

// Where a colour is grey there is no hue: the value is still the difference's own,
// and the slopes are numbers.
func TestGradientOfGreys(t *testing.T) {
	for _, pair := range [][2]Lab{
		{{L: 50}, {52, 10, -7}}, {{52, 10, -7}, {L: 50}}, {{L: 50}, {L: 40}}, {{50, -10, 0}, {L: 50, B: 3}},
	} {
		f, g, h := DeltaE00Gradient(pair[0], pair[1])
		if want := DeltaE00Squared(pair[0], pair[1]); !(math.Abs(f-want) < 1e-12*(1+want)) {
			t.Errorf("%v: %g, want %g", pair, f, want)
		}
		for i := range g {
			for _, x := range append(h[i][:], g[i]) {
				if !finite(x) {
					t.Fatalf("%v: slopes %v, %v", pair, g, h)
				}
			}
		}
	}
}

// Each operation of duals against differences, its arguments going with both
// variables.
func TestDuals(t *testing.T) {
	x := func(a, b float64) dual { return dual{1.3 + 0.7*a - 0.4*b, 0.7, -0.4} }
	y := func(a, b float64) dual { return dual{2.1 - 0.3*a + 0.9*b, -0.3, 0.9} }
	const e = 1e-6
	for name, f := range map[string]func(x, y dual) dual{
		"plus": dual.plus, "minus": dual.minus, "mul": dual.mul, "over": dual.over,
		"hypot": hypotDual, "atan2": atan2Dual,
		"sin":        func(x, _ dual) dual { return sinDual(x) },
		"cos":        func(x, _ dual) dual { return cosDual(x) },
		"exp":        func(x, _ dual) dual { return expDual(x) },
		"sqrt":       func(x, _ dual) dual { return sqrtDual(x) },
		"saturation": func(x, y dual) dual { return saturation(x.mul(y).times(8)) },
	} {
		at := func(a, b float64) dual { return f(x(a, b), y(a, b)) }
		got := at(0, 0)
		byA, byB := (at(e, 0).v-at(-e, 0).v)/(2*e), (at(0, e).v-at(0, -e).v)/(2*e)
		if !(math.Abs(got.a-byA) < 1e-8 && math.Abs(got.b-byB) < 1e-8) {
			t.Errorf("%s: slopes %.9g, %.9g; differences give %.9g, %.9g", name, got.a, got.b, byA, byB)
		}
	}
	if s := saturation(constant(25)).v; !(math.Abs(s-math.Sqrt(0.5)) < 1e-15) {
		t.Errorf("saturation at 25 is %g, half under the root", s)
	}
}
