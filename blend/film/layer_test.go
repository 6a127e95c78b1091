package film

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// readTable reads a reference table of plain numbers.
func readTable(t *testing.T, path string) [][]float64 {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out [][]float64
	for _, row := range rows {
		var v []float64
		for _, s := range row {
			x, err := strconv.ParseFloat(s, 64)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, x)
		}
		out = append(out, v)
	}
	return out
}

// Kubelka's hyperbolic solution to 40 digits over thirteen decades of K and
// twelve of S, by testdata/film/make.py.
func TestAgainstFortyDigits(t *testing.T) {
	rows := readTable(t, "../../testdata/film/layer.csv")
	if len(rows) != 440 {
		t.Fatalf("%d reference rows, want 440", len(rows))
	}
	worst := map[string]float64{}
	hold := func(name string, row []float64, got, want, scale, tol float64) {
		e := math.Abs(got-want) / scale
		worst[name] = max(worst[name], e)
		if !(e <= tol) {
			t.Errorf("%s at K %g S %g Rg %g: %.17g, want %.17g", name, row[0], row[1], row[2], got, want)
		}
	}
	for _, v := range rows {
		k, s, rg := v[0], v[1], v[2]
		r, dk, ds := Reflect(k, s, rg)
		hold("R", v, r, v[3], 1, 1e-15)
		// A slope's own scale is what a change of K or S by itself does.
		hold("dR/dK", v, dk, v[4], max(math.Abs(v[4]), 1/(1+k+s)), 2e-15)
		hold("dR/dS", v, ds, v[5], max(math.Abs(v[5]), 1/(1+k+s)), 2e-15)
		hold("T", v, transmit(k, s), v[6], 1, 1e-15)
		p, dsf, dks := Beam(0.5*s, k, s)
		hold("P", v, p, 0.5*s*v[7], 0.5*s*v[7], 1e-15)
		hold("dP/dSf", v, dsf, v[7], v[7], 1e-15)
		hold("dP/dK", v, dks, 0.5*s*v[8], math.Abs(0.5*s*v[8]), 2e-15)
	}
	t.Logf("worst errors: %v", worst)
}

// The series the design gives for small q, as an independent form.
func TestTanhcSmall(t *testing.T) {
	for _, q := range []float64{0, 1e-300, 1e-18, 1e-12, 1e-9, 1e-6, 1e-4} {
		got, slope := tanhc(q)
		want := 1 - q/3 + 2*q*q/15 - 17*q*q*q/315
		wantSlope := -1.0/3 + 4*q/15 - 17*q*q/105 + 248*q*q*q/2835
		if math.Abs(got-want) > 2e-16 || math.Abs(slope-wantSlope) > 2e-16 {
			t.Errorf("q = %g: %.17g %.17g, want %.17g %.17g", q, got, slope, want, wantSlope)
		}
	}
}

// Where the fraction hands over to the standard library nothing jumps.
func TestTanhcJoin(t *testing.T) {
	below, slopeBelow := tanhc(fractionEnd)
	above, slopeAbove := tanhc(math.Nextafter(fractionEnd, 3))
	if math.Abs(below-above) > 3e-16 || math.Abs(slopeBelow-slopeAbove) > 3e-16 {
		t.Errorf("join: %g and %g, slopes %g and %g", below, above, slopeBelow, slopeAbove)
	}
}

// No powder leaves bare ground, to the bit.
func TestNothingChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rg := rapid.Float64Range(0, 1).Draw(t, "rg")
		if r, _, _ := Reflect(0, 0, rg); r != rg {
			t.Fatalf("a film of nothing on %v gives %v", rg, r)
		}
		if p, _, _ := Beam(0, 0, 0); p != 0 {
			t.Fatalf("a film of nothing has a beam of %v", p)
		}
		if tr := transmit(0, 0); tr != 1 {
			t.Fatalf("a film of nothing passes %v", tr)
		}
	})
}

// A white furnace: nothing absorbs, so on a perfect white ground all light
// returns, and on black what is not returned has passed.
func TestWhiteFurnace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := math.Pow(10, rapid.Float64Range(-9, 4).Draw(t, "log S"))
		if r, _, _ := Reflect(0, s, 1); math.Abs(r-1) > 1e-15 {
			t.Fatalf("S = %g on white: %v", s, r)
		}
		r, _, _ := Reflect(0, s, 0)
		if sum := r + transmit(0, s); math.Abs(sum-1) > 1e-15 {
			t.Fatalf("S = %g on black: R + T = %v", s, sum)
		}
	})
}

// Energy is never created, and the beam is part of what returns.
func TestEnergy(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := math.Pow(10, rapid.Float64Range(-9, 3).Draw(t, "log K"))
		s := math.Pow(10, rapid.Float64Range(-9, 3).Draw(t, "log S"))
		rg := rapid.Float64Range(0, 1).Draw(t, "rg")
		black, _, _ := Reflect(k, s, 0)
		r, _, _ := Reflect(k, s, rg)
		tr := transmit(k, s)
		p, _, _ := Beam(s, k, s)
		if black+tr > 1+1e-15 || r > 1+1e-15 || black < 0 || tr < 0 {
			t.Fatalf("K %g S %g Rg %g: R over black %v, T %v, R %v", k, s, rg, black, tr, r)
		}
		if p > black+1e-15 || p > r+1e-15 || p < 0 {
			t.Fatalf("K %g S %g Rg %g: beam %v of %v", k, s, rg, p, r)
		}
	})
}

// Kubelka 1948: two films laid one on the other are one film of their sums.
func TestStackedFilms(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := math.Pow(10, rapid.Float64Range(-6, 1.5).Draw(t, "log K"))
		s := math.Pow(10, rapid.Float64Range(-6, 1.5).Draw(t, "log S"))
		rg := rapid.Float64Range(0, 1).Draw(t, "rg")
		f := rapid.Float64Range(0, 1).Draw(t, "upper share")
		under, _, _ := Reflect((1-f)*k, (1-f)*s, rg)
		alone, _, _ := Reflect(f*k, f*s, 0)
		two := over(alone, transmit(f*k, f*s), under)
		one, _, _ := Reflect(k, s, rg)
		if math.Abs(two-one) > 1e-13 {
			t.Fatalf("two films %v, one %v", two, one)
		}
	})
}

// The textbook forms, which lose digits where these do not.
func TestInfinite(t *testing.T) {
	for _, ks := range []float64{1e-3, 0.05, 0.7, 3, 50} {
		want := 1 + ks - math.Sqrt(ks*ks+2*ks)
		got := Infinite(ks*2, 2)
		if math.Abs(got-want) > 1e-13 {
			t.Errorf("K/S %g: %v, want %v", ks, got, want)
		}
		if back := Ratio(got); math.Abs(back-ks) > 1e-13*ks {
			t.Errorf("K/S %g comes back as %v", ks, back)
		}
		if thick, _, _ := Reflect(ks*2e4, 2e4, 0.5); math.Abs(thick-got) > 1e-13 {
			t.Errorf("K/S %g: a very thick film gives %v, not %v", ks, thick, got)
		}
	}
	if Infinite(0, 1) != 1 || Infinite(1, 0) != 0 || Infinite(0, 0) != 0 {
		t.Errorf("limits: %v %v %v", Infinite(0, 1), Infinite(1, 0), Infinite(0, 0))
	}
}

// The more of one powder lies on the ground, the nearer it comes to the
// powder's own colour, in every band.
func TestApproachesThePowder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := math.Pow(10, rapid.Float64Range(-4, 1).Draw(t, "log K"))
		s := math.Pow(10, rapid.Float64Range(-4, 1).Draw(t, "log S"))
		rg := rapid.Float64Range(0, 1).Draw(t, "rg")
		end := Infinite(k, s)
		last := math.Abs(rg - end)
		for m := 0.01; m < 100; m *= 1.7 {
			r, _, _ := Reflect(m*k, m*s, rg)
			if d := math.Abs(r - end); d > last*(1+1e-12)+1e-15 {
				t.Fatalf("at mass %g the distance to R∞ grew from %g to %g", m, last, d)
			} else {
				last = d
			}
		}
	})
}

// transmit returns the share of diffuse light that passes a film lying free
// (no ground).
func transmit(k, s float64) float64 {
	q := k * (k + 2*s)
	t, _ := tanhc(q)
	return 1 / (math.Cosh(math.Sqrt(q)) * (1 + (k+s)*t))
}

// over returns the reflectance of one film on another (or on a ground):
// R₁₂ = R₁ + T₁²R₂/(1 − R₁R₂), Kubelka 1948, where r1 and t1 belong to the
// upper film lying free.
func over(r1, t1, r2 float64) float64 { return r1 + t1*t1*r2/(1-r1*r2) }
