package mie

import (
	"math"
	"testing"
)

// The phase function against the efficiencies, which come by other sums: its
// total is Q_sca x², its first moment g. A small sphere's is Rayleigh's,
// ¾(1 + cos²Θ), with second moment 1/10.
func TestPhaseMoments(t *testing.T) {
	chi := make([]float64, 300)
	var w Workspace
	for _, x := range []float64{0.01, 0.3, 1, 4, 12, 40} {
		for _, m := range []complex128{1.8, 2.0 + 0.3i, 1.1, 1.3 + 1e-3i} {
			e, err := w.Sphere(x, m)
			if err != nil {
				t.Fatal(err)
			}
			p := NewPhase(Terms(x)+3, len(chi))
			p.Add(&w, 1)
			p.Moments(chi)
			total := 0.0
			for _, a := range p.rules {
				for j, v := range a.weight {
					total += v * (a.ahead[j] + a.behind[j])
				}
			}
			if got := total / (x * x); !(math.Abs(got/e.Sca-1) < 1e-10) {
				t.Errorf("x %g m %g: the phase function adds up to Q %.12g, the series to %.12g", x, m, got, e.Sca)
			}
			if !(math.Abs(chi[1]-e.G) < 1e-10) {
				t.Errorf("x %g m %g: first moment %.12g, g %.12g", x, m, chi[1], e.G)
			}
			if x == 0.01 && !(math.Abs(chi[2]-0.1) < 1e-4) {
				t.Errorf("m %g: second moment %.6g; Rayleigh's is 0.1", m, chi[2])
			}
		}
	}
}

// One order alone, in a Phase for no more: a dipole has a second moment of 1/10
// (Rayleigh), and an electric with a like magnetic one, Kerker's sphere, ¼(1 + μ)²
// with g = ½.
func TestDipoles(t *testing.T) {
	for _, c := range []struct {
		name    string
		b       complex128
		g, next float64
	}{{"electric", 0, 0, 0.1}, {"Kerker's", 1, 0.5, 0.1}} {
		w := Workspace{a: []complex128{1}, b: []complex128{c.b}}
		p := NewPhase(1, 4)
		p.Add(&w, 1)
		chi := make([]float64, 4)
		p.Moments(chi)
		for l, want := range []float64{1, c.g, c.next, 0} {
			close(t, c.name, chi[l], want, 1e-14)
		}
	}
}

// A Phase keeps no moments past the order it is for.
func TestMomentsStop(t *testing.T) {
	var w Workspace
	if _, err := w.Sphere(5, 1.5); err != nil {
		t.Fatal(err)
	}
	p, chi := NewPhase(Terms(5), 3), make([]float64, 6)
	p.Add(&w, 1)
	p.Moments(chi)
	if chi[3] == 0 || chi[4] != 0 || chi[5] != 0 {
		t.Errorf("moments %v of a Phase to the order 3", chi)
	}
}

// The angles taken are exact: twice as many give the same moments, up to the last
// that a sphere of so many terms has, and 0 past it.
func TestMomentsAreExact(t *testing.T) {
	for _, x := range []float64{0.5, 3, 20} {
		var w Workspace
		if _, err := w.Sphere(x, 1.6+0.01i); err != nil {
			t.Fatal(err)
		}
		orders := 2*Terms(x) + 4
		few, many := make([]float64, orders), make([]float64, orders)
		for chi, terms := range map[*[]float64]int{&few: Terms(x), &many: 2 * Terms(x)} {
			p := NewPhase(terms, orders)
			p.rules = p.rules[len(p.rules)-1:]
			p.Add(&w, 1)
			p.Moments(*chi)
		}
		for l := range few {
			close(t, "moment", few[l], many[l], 1e-12)
		}
		close(t, "past the last", few[2*Terms(x)+1], 0, 1e-12)
	}
}
