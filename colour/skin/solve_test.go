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

// randomSkin is a colour within or somewhat beyond measured skin.
func randomSkin(rng *rand.Rand) colour.Lab {
	return colour.Lab{L: 25 + 50*rng.Float64(), A: 2 + 16*rng.Float64(), B: 3 + 22*rng.Float64()}
}

// The analytic slopes against central differences.
func TestSlopes(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, v := range viewings(t) {
		curves := skinCurves()
		for range 20 {
			y := standard().Mean(randomSkin(rng))
			_, _, j := miss(&y, curves, v, &[3]float64{})
			for k := range curves {
				const h = 1e-5
				up, down := y, y
				for i := range y {
					up[i] += h * curves[k][i]
					down[i] -= h * curves[k][i]
				}
				_, fu, _ := miss(&up, curves, v, &[3]float64{})
				_, fd, _ := miss(&down, curves, v, &[3]float64{})
				for x := range fu {
					if numeric := (fu[x] - fd[x]) / (2 * h); math.Abs(numeric-j[x][k]) > 1e-8 {
						t.Errorf("%s: slope of %d by curve %d is %.10g, differences give %.10g", v.Name(), x, k, j[x][k], numeric)
					}
				}
			}
		}
	}
}

// From a spectrum of the model to its colour under any light and observer and
// back: the same spectrum, and the same colour to 1e-9.
func TestReflectanceComesBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, v := range viewings(t) {
		for range 50 {
			want, err := standard().Reflectance(randomSkin(rng), colour.D65)
			if err != nil {
				t.Fatal(err)
			}
			c := v.Lab(&want)
			got, err := standard().Reflectance(c, v)
			if err != nil {
				t.Fatalf("%s %v: %v", v.Name(), c, err)
			}
			if d := colour.DeltaE76(v.Lab(&got), c); d > 1e-9 {
				t.Errorf("%s %v: colour off by %.2g", v.Name(), c, d)
			}
			if d := colour.RMS(&got, &want); d > 1e-6 {
				t.Errorf("%s %v: spectrum off by %.2g", v.Name(), c, d)
			}
		}
	}
}

// Over a grid far wider than skin, L* 15 to 90 and C* 0 to 30 in every hue, the
// model has a spectrum of every colour that any reflectance has, exactly and
// strictly between 0 and 1, and the rest are refused in words.
func TestWideGrid(t *testing.T) {
	points, impossible, failed := 0, 0, 0
	for l := 15.0; l <= 90; l += 5 {
		for c := 0.0; c <= 30; c += 2.5 {
			for h := range 13 {
				points++
				lab := colour.LCh{L: l, C: c, H: float64(h) * 360 / 13}.Lab()
				x := colour.D65.XYZOf(lab)
				possible := reachable([3]float64{x.X, x.Y, x.Z}, colour.D65.Weights(), 0)
				r, err := standard().Reflectance(lab, colour.D65)
				switch {
				case !possible:
					impossible++
					if _, err := FromReading(colour.Reading{Lab: lab}); err == nil {
						t.Errorf("%v: no reflectance has this colour, but a skin has", lab)
					}
				case err != nil:
					failed++
					t.Errorf("%v: %v", lab, err)
				default:
					if d := colour.DeltaE76(colour.D65.Lab(&r), lab); d > 1e-9 {
						t.Errorf("%v: colour off by %.2g", lab, d)
					}
					for i, x := range r {
						if !(x > 0 && x < 1) {
							t.Errorf("%v: reflectance %g at %g nm", lab, x, colour.WavelengthNM(i))
						}
					}
				}
			}
		}
	}
	t.Logf("of %d colours %d have no reflectance at all; of the others the model failed on %d", points, impossible, failed)
	if impossible > 23 {
		t.Errorf("%d of %d colours have no reflectance; README has 23", impossible, points)
	}
}

func TestLogKSInvertsAndSlopes(t *testing.T) {
	for y := -14.0; y <= 14; y += 0.25 {
		r, slope := fromLogKS(y)
		if !(r > 0 && r < 1) {
			t.Fatalf("ln K/S %g: reflectance %g", y, r)
		}
		if back := ratio(r); y > -10 && math.Abs(back-y) > 1e-8 {
			t.Errorf("ln K/S %g comes back as %.12g", y, back)
		}
		const h = 1e-5
		up, _ := fromLogKS(y + h)
		down, _ := fromLogKS(y - h)
		if numeric := (up - down) / (2 * h); math.Abs(numeric-slope) > 1e-6*math.Abs(slope)+1e-11 {
			t.Errorf("ln K/S %g: slope %.10g, differences give %.10g", y, slope, numeric)
		}
	}
}

func BenchmarkFromReading(b *testing.B) {
	r := colour.Reading{Lab: colour.Lab{L: 49.3, A: 11.3, B: 20.4}, Viewing: colour.D65, Text: "bench"}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := FromReading(r); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFromReadingUnderA(b *testing.B) {
	r := colour.Reading{Lab: colour.Lab{L: 51.5, A: 16.8, B: 22.8}, Viewing: viewings(b)[0], Text: "bench"}
	for b.Loop() {
		if _, err := FromReading(r); err != nil {
			b.Fatal(err)
		}
	}
}
