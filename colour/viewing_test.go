package colour

import (
	"math"
	"testing"
)

// Published white points: ASTM E308 table 5 and CIE 15:2004 table T.3, Y =
// 100; LED-B3 from its chromaticity in CIE 15:2018 table 12.2, (0.3756, 0.3723).
func TestWhitePointsArePublished(t *testing.T) {
	for _, row := range []struct {
		light    string
		observer Observer
		x, z     float64
	}{
		{"A", CIE1931, 109.850, 35.585},
		{"D50", CIE1931, 96.422, 82.521},
		{"D65", CIE1931, 95.047, 108.883},
		{"F2", CIE1931, 99.186, 67.393},
		{"F11", CIE1931, 100.962, 64.350},
		{"A", CIE1964, 111.144, 35.200},
		{"D50", CIE1964, 96.720, 81.427},
		{"D65", CIE1964, 94.811, 107.304},
		{"F2", CIE1964, 103.279, 69.027},
		{"F11", CIE1964, 103.863, 65.607},
	} {
		v := NewViewing(mustIlluminant(row.light), row.observer)
		w := v.White()
		if math.Abs(w.X-row.x) > 0.01 || math.Abs(w.Y-100) > 1e-9 || math.Abs(w.Z-row.z) > 0.01 {
			t.Errorf("%s: white (%.3f, %.3f, %.3f), published (%.3f, 100, %.3f)", v.Name(), w.X, w.Y, w.Z, row.x, row.z)
		}
		one := Constant(1)
		if got := v.Lab(&one); got != (Lab{100, 0, 0}) {
			t.Errorf("%s: perfect diffuser is %v, want exactly (100, 0, 0)", v.Name(), got)
		}
	}
	w := NewViewing(mustIlluminant("LED-B3"), CIE1931).White()
	sum := w.X + w.Y + w.Z
	if x, y := w.X/sum, w.Y/sum; math.Abs(x-0.3756) > 5e-5 || math.Abs(y-0.3723) > 5e-5 {
		t.Errorf("LED-B3: chromaticity (%.5f, %.5f), published (0.3756, 0.3723)", x, y)
	}
}

// Between the 5 nm samples the matching functions are whole too: ȳ summed at 1 nm is
// 106.857 of CIE 15, within what 360 to 780 nm leaves out, the photopic maximum lies
// at 555 nm, and light of equal energy has the white (100, 100, 100).
func TestObserverBetweenSamples(t *testing.T) {
	sum, most, at := 0.0, 0.0, 0
	for nm := 360; nm <= 830; nm++ {
		x := cmfAt(CIE1931, nm)
		sum += x[1]
		if x[1] > most {
			most, at = x[1], nm
		}
		if nm%5 != 0 && nm > 365 && nm < 825 {
			before, after := cmfAt(CIE1931, nm-nm%5), cmfAt(CIE1931, nm-nm%5+5)
			for c := range x {
				if straight := before[c] + float64(nm%5)/5*(after[c]-before[c]); !(math.Abs(x[c]-straight) < 0.016) {
					t.Errorf("%d nm: %g, between its samples lies %g", nm, x[c], straight)
				}
			}
		}
	}
	if !(math.Abs(sum-106.857) < 0.01) || at != 555 {
		t.Errorf("ȳ sums to %.4f and is greatest at %d nm", sum, at)
	}
	for i, want := range [3]float64{cmf[0][0][40], cmf[0][1][40], cmf[0][2][40]} { // 560 nm
		if got := cmfAt(CIE1931, 560)[i]; got != want {
			t.Errorf("at a sample: %g, want %g", got, want)
		}
	}
	for _, nm := range []int{360, 365, 825, 830} {
		if got, want := cmfAt(CIE1964, nm)[1], cmf[CIE1964][1][(nm-360)/5]; got != want {
			t.Errorf("%d nm: %g, want %g", nm, got, want)
		}
	}
	equal, err := NewIlluminant("E", []float64{360, 560, 780}, []float64{1, 1, 1})
	if err != nil {
		t.Fatal(err)
	}
	if w := NewViewing(equal, CIE1931).White(); !(math.Abs(w.X-100) < 0.05 && math.Abs(w.Z-100) < 0.05) {
		t.Errorf("white of equal energy %+v", w)
	}
}

// A spectrum that is a parabola in the wavelength is interpolated exactly, in the
// end intervals too; a cubic everywhere between them.
func TestBandWeightsAreExact(t *testing.T) {
	for nm := FirstNM - 5; nm <= LastNM+5; nm += 2.5 {
		first, w := bandWeights(nm)
		at := min(max(nm, FirstNM), LastNM)
		for power := range 4 {
			if power == 3 && (at < FirstNM+StepNM || at > LastNM-StepNM) {
				continue
			}
			want, got := math.Pow((at-600)/200, float64(power)), 0.0
			for k, share := range w {
				got += share * math.Pow((WavelengthNM(first+k)-600)/200, float64(power))
			}
			if math.Abs(got-want) > 1e-12 {
				t.Errorf("%g nm, power %d: %g, want %g", nm, power, got, want)
			}
		}
	}
}

// A Planckian radiator's chromaticity: 2856 K is CIE illuminant A, (0.44757,
// 0.40745); CIE 15.
func TestPlanckianIsIlluminantA(t *testing.T) {
	l, err := Planckian(2856)
	if err != nil {
		t.Fatal(err)
	}
	w := NewViewing(l, CIE1931).White()
	sum := w.X + w.Y + w.Z
	if x, y := w.X/sum, w.Y/sum; math.Abs(x-0.44757) > 1e-4 || math.Abs(y-0.40745) > 1e-4 {
		t.Errorf("2856 K: (%.5f, %.5f), published (0.44757, 0.40745)", x, y)
	}
}

// Ten-nanometre weights must do what summing at 1 nm does for a smooth
// spectrum: here a skin-like sigmoid with a dip, against direct summation.
func TestWeightsAgreeWithFineSums(t *testing.T) {
	smooth := func(nm float64) float64 {
		x := math.Min(math.Max(nm, FirstNM), LastNM)
		return 0.1 + 0.5/(1+math.Exp(-(x-590)/25)) - 0.06*math.Exp(-(x-545)*(x-545)/800)
	}
	var s Spectrum
	for i := range s {
		s[i] = smooth(WavelengthNM(i))
	}
	for _, l := range builtin {
		v := NewViewing(l, CIE1931)
		var sum, white [3]float64
		for k, p := range l.Power {
			nm := powerFirstNM + k*l.StepNM
			for c, x := range cmfAt(CIE1931, nm) {
				sum[c] += p * x * smooth(float64(nm))
				white[c] += p * x
			}
		}
		fine := v.LabOf(XYZ{v.white.X * sum[0] / white[0], v.white.Y * sum[1] / white[1], v.white.Z * sum[2] / white[2]})
		if d := DeltaE00(fine, v.Lab(&s)); d > 0.03 {
			t.Errorf("%s: weights differ from direct sums by ΔE00 %.3f", l.Name, d)
		}
	}
}
