package leastsquares

import (
	"errors"
	"math"
	"testing"
)

// Misra1a, a data set of the NIST Statistical Reference Datasets for nonlinear
// regression: y = b₁(1 − e^(−b₂x)), both published starts, the certified answer
// and residual sum of squares.
var misraX = []float64{77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0}
var misraY = []float64{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78}

func misra() *Residuals {
	return &Residuals{Count: len(misraX), At: func(b, r []float64) error {
		for i, x := range misraX {
			e := math.Exp(-b[1] * x)
			r[i] = b[0]*(1-e) - misraY[i]
		}
		return nil
	}}
}

func TestMisra1a(t *testing.T) {
	for _, start := range [][]float64{{500, 0.0001}, {250, 0.0005}} {
		b := append([]float64(nil), start...)
		var w Workspace
		cost, err := w.Minimise(misra(), b, Settings{Gain: 1e-15})
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range []float64{2.3894212918e2, 5.5015643181e-4} {
			if math.Abs(b[i]/want-1) > 1e-5 {
				t.Errorf("from %v: b%d %.11g, certified %.11g", start, i+1, b[i], want)
			}
		}
		if math.Abs(2*cost/1.2455138894e-1-1) > 1e-8 {
			t.Errorf("from %v: residual sum of squares %.11g, certified 0.12455138894", start, 2*cost)
		}
	}
}

// At a bound the slope points outwards and the rest is at its own least; with
// b₁ held at 200 the other is what a search of it alone finds.
func TestBounds(t *testing.T) {
	b := []float64{150, 0.001}
	var w Workspace
	if _, err := w.Minimise(misra(), b, Settings{Low: []float64{100, 0}, High: []float64{200, 1}}); err != nil {
		t.Fatal(err)
	}
	alone := []float64{0.001}
	p := misra()
	_, err := w.Minimise(&Residuals{Count: p.Count, At: func(x, r []float64) error {
		return p.At([]float64{200, x[0]}, r)
	}}, alone, Settings{})
	if err != nil || b[0] != 200 || math.Abs(b[1]/alone[0]-1) > 1e-6 {
		t.Errorf("held at 200: %v, alone %v, %v", b, alone, err)
	}
	// Below 0 in one unknown, with nothing to say of another.
	x := []float64{1, 7}
	cost, err := w.Minimise(&Residuals{Count: 1, At: func(x, r []float64) error { r[0] = x[0] + 1; return nil }}, x, Settings{Low: []float64{0, 0}})
	if err != nil || x[0] != 0 || x[1] != 7 || cost != 0.5 {
		t.Errorf("%v at cost %g, %v; want 0 and 7 at 0.5", x, cost, err)
	}
}

// Rosenbrock's valley (1960) from its usual start, and the same with steps of
// 0.1 at most.
func TestRosenbrock(t *testing.T) {
	valley := &Residuals{Count: 2, At: func(x, r []float64) error {
		r[0], r[1] = 10*(x[1]-x[0]*x[0]), 1-x[0]
		return nil
	}}
	for _, longest := range []float64{0, 0.1} {
		x := []float64{-1.2, 1}
		var w Workspace
		if _, err := w.Minimise(valley, x, Settings{Longest: longest}); err != nil || math.Abs(x[0]-1) > 1e-6 || math.Abs(x[1]-1) > 1e-6 {
			t.Errorf("steps of at most %g end at %v, %v", longest, x, err)
		}
	}
}

// An error of the problem is passed on, and no sum at all is no answer.
func TestTrouble(t *testing.T) {
	broken := errors.New("broken")
	var w Workspace
	p := &Residuals{Count: 1, At: func(x, r []float64) error { return broken }}
	if _, err := w.Minimise(p, []float64{1}, Settings{}); !errors.Is(err, broken) {
		t.Errorf("%v, want the problem's own", err)
	}
	cost, err := w.Minimise(&Residuals{Count: 1, At: func(x, r []float64) error { r[0] = math.NaN(); return nil }}, []float64{1}, Settings{})
	if err != nil || !math.IsInf(cost, 1) {
		t.Errorf("residuals of NaN: %g, %v", cost, err)
	}
}

func BenchmarkMisra1a(b *testing.B) {
	b.ReportAllocs()
	p := misra()
	var w Workspace
	x := make([]float64, 2)
	for b.Loop() {
		x[0], x[1] = 250, 0.0005
		if _, err := w.Minimise(p, x, Settings{}); err != nil {
			b.Fatal(err)
		}
	}
}

func TestSolve3RefusesSingular(t *testing.T) {
	if _, ok := Solve3([3][3]float64{{1, 2, 3}, {2, 4, 6}, {0, 0, 1}}, [3]float64{1, 2, 3}); ok {
		t.Error("a singular system was solved")
	}
	x, ok := Solve3([3][3]float64{{0, 2, 0}, {1, 0, 0}, {0, 0, 4}}, [3]float64{2, 3, 8})
	if !ok || x != [3]float64{3, 1, 2} {
		t.Errorf("solution %v, want (3, 1, 2)", x)
	}
}
