package colour

import (
	"math"
	"math/rand/v2"
	"testing"
)

// CIELAB from the ratios to white is the same for every white; the dark
// straight part is among the cases.
func TestLabAgreesWithLibrary(t *testing.T) {
	views := []*Viewing{D65, NewViewing(mustIlluminant("D50"), CIE1931), NewViewing(mustIlluminant("A"), CIE1964)}
	for _, v := range views {
		w := v.White()
		for _, r := range readReference(t).Ratios {
			xyz := XYZ{r.Ratio[0] * w.X, r.Ratio[1] * w.Y, r.Ratio[2] * w.Z}
			got := v.LabOf(xyz)
			if d := DeltaE76(got, labOf(r.Lab)); d > 1e-9 {
				t.Errorf("%s: ratios %v give %v, library %v", v.Name(), r.Ratio, got, r.Lab)
			}
			back := v.XYZOf(labOf(r.Lab))
			if math.Abs(back.X-xyz.X)+math.Abs(back.Y-xyz.Y)+math.Abs(back.Z-xyz.Z) > 1e-9 {
				t.Errorf("%s: %v gives %v, want %v", v.Name(), r.Lab, back, xyz)
			}
		}
	}
}

func TestLChAgreesWithLibrary(t *testing.T) {
	for _, r := range readReference(t).LCh {
		got := labOf(r.Lab).LCh()
		if math.Abs(got.L-r.LCh[0])+math.Abs(got.C-r.LCh[1])+math.Abs(got.H-r.LCh[2]) > 1e-9 {
			t.Errorf("%v gives %v, library %v", r.Lab, got, r.LCh)
		}
		if d := DeltaE76(got.Lab(), labOf(r.Lab)); d > 1e-9 {
			t.Errorf("%v comes back %g away", r.Lab, d)
		}
	}
	if got := (Lab{L: 50}).LCh(); got != (LCh{L: 50}) {
		t.Errorf("a grey is %v; its hue is 0", got)
	}
}

// The slopes against differences, on both sides of the join of cube root and
// straight line, which meet in value and slope.
func TestLabSlope(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for n := 0; n < 300; n++ {
		scale := 100.0
		if n%3 == 0 {
			scale = 1.5
		}
		c := [3]float64{0.01 + scale*rng.Float64(), 0.01 + scale*rng.Float64(), 0.01 + scale*rng.Float64()}
		slope := D65.LabSlope(XYZ{c[0], c[1], c[2]})
		for k := range c {
			h := 1e-6 * (1 + c[k])
			up, down := c, c
			up[k] += h
			down[k] -= h
			a, b := D65.LabOf(XYZ{up[0], up[1], up[2]}), D65.LabOf(XYZ{down[0], down[1], down[2]})
			for i, d := range [3]float64{a.L - b.L, a.A - b.A, a.B - b.B} {
				if numeric := d / (2 * h); math.Abs(numeric-slope[i][k]) > 1e-5*(1+math.Abs(numeric)) {
					t.Errorf("%v: slope [%d][%d] is %g, differences give %g", c, i, k, slope[i][k], numeric)
				}
			}
		}
	}
}

func TestAdaptationsAgreeWithLibrary(t *testing.T) {
	xyz := func(v [3]float64) XYZ { return XYZ{v[0], v[1], v[2]} }
	apart := func(a XYZ, b [3]float64) float64 {
		return math.Abs(a.X-b[0]) + math.Abs(a.Y-b[1]) + math.Abs(a.Z-b[2])
	}
	r := readReference(t)
	for name, c := range map[string]struct {
		rows  []struct{ From, To, XYZ, Adapted [3]float64 }
		adapt func(c, from, to XYZ) XYZ
	}{"Bradford": {r.Bradford, AdaptProfile}, "CAT16": {r.CAT16, Adapt}} {
		for _, r := range c.rows {
			// The library's inverse matrices are rounded to their seventh place.
			if got := c.adapt(xyz(r.XYZ), xyz(r.From), xyz(r.To)); apart(got, r.Adapted) > 1e-6 {
				t.Errorf("%s: %v from %v to %v: %v, library %v", name, r.XYZ, r.From, r.To, got, r.Adapted)
			}
			if got := c.adapt(xyz(r.From), xyz(r.From), xyz(r.To)); apart(got, r.To) > 1e-12 {
				t.Errorf("%s: white %v goes to %v, want %v", name, r.From, got, r.To)
			}
		}
	}
}

func TestFinite(t *testing.T) {
	if !(Lab{1, 2, 3}).Finite() || (Lab{math.NaN(), 0, 0}).Finite() || (Lab{0, math.Inf(1), 0}).Finite() || (Lab{0, 0, math.Inf(-1)}).Finite() {
		t.Error("Finite is wrong")
	}
}

// A grey is grey under any light; what rises to red is not.
func TestShift(t *testing.T) {
	a := NewViewing(mustIlluminant("A"), CIE1931)
	var s Spectrum
	for i := range s {
		s[i] = 0.2 + 0.01*float64(i)
	}
	grey := Constant(0.4)
	if d := Shift(&grey, D65, a); d > 1e-9 {
		t.Errorf("a grey shifts by %g; it is grey under any light", d)
	}
	shift := Shift(&s, D65, a)
	if shift < 0.5 {
		t.Errorf("a red-rising spectrum shifts by only %g", shift)
	}
	// What rises to red leaves its white's side with the plain ratios and stays
	// nearer as eyes used to the light have it.
	if plain := DeltaE00(D65.Lab(&s), a.Lab(&s)); plain < 1.1*shift {
		t.Errorf("plain CIELAB has %g, carried to one white %g", plain, shift)
	}
}
