package skin

import (
	"math"
	"math/rand/v2"
	"testing"

	"tawny/colour"
)

func viewings(t testing.TB) []*colour.Viewing {
	var all []*colour.Viewing
	for _, l := range colour.Illuminants() {
		for _, o := range []colour.Observer{colour.CIE1931, colour.CIE1964} {
			all = append(all, colour.NewViewing(l, o))
		}
	}
	return all
}

// randomScores are those of a skin within or somewhat beyond the fitted range.
func randomScores(rng *rand.Rand) (s [3]float64) {
	m := standard()
	for k := range s {
		span := m.High[k] - m.Low[k]
		s[k] = m.Low[k] - 0.2*span + 1.4*span*rng.Float64()
	}
	return s
}

// The analytic Jacobian against central differences.
func TestJacobian(t *testing.T) {
	m := standard()
	rng := rand.New(rand.NewPCG(1, 2))
	for _, v := range viewings(t) {
		for n := 0; n < 20; n++ {
			s := randomScores(rng)
			_, j, ok := m.residual(&s, v, &[3]float64{})
			if !ok {
				t.Fatalf("%s: residual at %v is not finite", v.Name(), s)
			}
			for k := range s {
				const h = 1e-5
				up, down := s, s
				up[k] += h
				down[k] -= h
				fu, _, _ := m.residual(&up, v, &[3]float64{})
				fd, _, _ := m.residual(&down, v, &[3]float64{})
				for x := range fu {
					if numeric := (fu[x] - fd[x]) / (2 * h); math.Abs(numeric-j[x][k]) > 1e-8 {
						t.Errorf("%s: slope of %d by score %d is %.10g, differences give %.10g", v.Name(), x, k, j[x][k], numeric)
					}
				}
			}
		}
	}
}

// From known scores to a colour under any light and observer and back: the
// same scores, so the solution is the one the data's own skins lie on, and the
// same colour to 1e-9.
func TestSolveComesBack(t *testing.T) {
	m := standard()
	rng := rand.New(rand.NewPCG(3, 4))
	for _, v := range viewings(t) {
		for n := 0; n < 100; n++ {
			want, excluded := randomScores(rng), n%2 == 0
			r := m.At(want, excluded)
			c := v.Lab(&r)
			got, err := m.Solve(c, v, excluded)
			if err != nil {
				t.Fatalf("%s %v: %v", v.Name(), c, err)
			}
			r = m.At(got, excluded)
			if d := colour.DeltaE76(v.Lab(&r), c); d > 1e-9 {
				t.Errorf("%s %v: colour off by %.2g", v.Name(), c, d)
			}
			for k := range got {
				if math.Abs(got[k]-want[k]) > 1e-6 {
					t.Errorf("%s %v: scores %v, made from %v", v.Name(), c, got, want)
					break
				}
			}
		}
	}
}

// Whatever is solved stays strictly between the surface's light and 1, by the
// form of the model and not by clamping.
func TestSolvedReflectanceIsPossible(t *testing.T) {
	m := standard()
	rng := rand.New(rand.NewPCG(5, 6))
	solved := 0
	for n := 0; n < 2000; n++ {
		c := colour.Lab{L: 15 + 80*rng.Float64(), A: -10 + 40*rng.Float64(), B: -10 + 50*rng.Float64()}
		s, err := m.Solve(c, colour.D65, true)
		if err != nil {
			continue
		}
		solved++
		r := m.At(s, true)
		for i, x := range r {
			if !(x > 0 && x < 1) {
				t.Fatalf("%v: reflectance %g at %g nm", c, x, colour.WavelengthNM(i))
			}
		}
		if d := colour.DeltaE76(colour.D65.Lab(&r), c); d > 1e-9 {
			t.Errorf("%v: colour off by %.2g", c, d)
		}
	}
	if solved < 1200 {
		t.Errorf("only %d of 2000 colours around skin were solved", solved)
	}
}

func TestSolve3RefusesSingular(t *testing.T) {
	if _, ok := solve3([3][3]float64{{1, 2, 3}, {2, 4, 6}, {0, 0, 1}}, [3]float64{1, 2, 3}); ok {
		t.Error("a singular system was solved")
	}
	x, ok := solve3([3][3]float64{{0, 2, 0}, {1, 0, 0}, {0, 0, 4}}, [3]float64{2, 3, 8})
	if !ok || x != [3]float64{3, 1, 2} {
		t.Errorf("solution %v, want (3, 1, 2)", x)
	}
}

func BenchmarkFromReading(b *testing.B) {
	r := colour.Reading{Lab: colour.Lab{L: 49.3, A: 11.3, B: 20.4}, Viewing: colour.D65, Text: "bench"}
	for b.Loop() {
		if _, err := FromReading(r); err != nil {
			b.Fatal(err)
		}
	}
}
