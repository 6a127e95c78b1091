package colour

import (
	"math"
	"strings"
	"testing"
)

// Planck's law at the ends of what is accepted, as ratios of powers at two
// wavelengths in Wien's form, which holds to e^(−c₂/λT).
func TestPlanckianRange(t *testing.T) {
	for _, kelvin := range []float64{999.9, 20000.1, math.NaN(), math.Inf(1), -3000} {
		if _, err := Planckian(kelvin); err == nil {
			t.Errorf("%g K was accepted", kelvin)
		}
	}
	for _, kelvin := range []float64{1000, 20000} {
		l, err := Planckian(kelvin)
		if err != nil {
			t.Fatal(err)
		}
		if n := (780-360)/5 + 1; len(l.Power) != n {
			t.Errorf("%g K: %d powers, want %d from 360 to 780 nm", kelvin, len(l.Power), n)
		}
	}
	l, _ := Planckian(1000)
	got := math.Log(l.Power[28] / l.Power[48]) // 500 and 600 nm
	want := 5*math.Log(600.0/500) - 1.4388e-2/1000*(1/500e-9-1/600e-9)
	if !(math.Abs(got-want) < 1e-9) {
		t.Errorf("1000 K, 500 to 600 nm: ln ratio %.12g, want %.12g", got, want)
	}
}

// A lamp's samples are joined by straight lines, level with its greatest at 1, and
// give nothing beyond the first and last.
func TestLampFromSamples(t *testing.T) {
	l, err := NewIlluminant("lamp", []float64{400, 410, 500, 700}, []float64{2, 4, 8, 1})
	if err != nil {
		t.Fatal(err)
	}
	if len(l.Power) != 780-360+1 || l.StepNM != 1 {
		t.Fatalf("%d powers every %d nm", len(l.Power), l.StepNM)
	}
	for nm, want := range map[int]float64{
		360: 0, 399: 0, 400: 0.25, 405: 0.375, 410: 0.5, 455: 0.75, 500: 1, 600: 4.5 / 8, 700: 0.125, 701: 0, 780: 0,
	} {
		if got := l.Power[nm-360]; !(math.Abs(got-want) < 1e-12) {
			t.Errorf("%d nm: %g, want %g", nm, got, want)
		}
	}
}

func TestLampsAreRefused(t *testing.T) {
	for _, c := range []struct {
		nm, power []float64
		want      string
	}{
		{[]float64{400}, []float64{1}, "got 1 and 1"},
		{[]float64{400, 700}, []float64{1}, "got 2 and 1"},
		{[]float64{400, 700}, []float64{1, -1}, "sample 2: 700 nm, power -1"},
		{[]float64{400, math.NaN()}, []float64{1, 1}, "sample 2"},
		{[]float64{400, 400, 700}, []float64{1, 1, 1}, "sample 2: 400 nm follows 400 nm"},
		{[]float64{400, 500, 450}, []float64{1, 1, 1}, "sample 3: 450 nm follows 500 nm"},
		{[]float64{421, 700}, []float64{1, 1}, "420 to 700 nm is needed"},
		{[]float64{400, 699}, []float64{1, 1}, "420 to 700 nm is needed"},
		{[]float64{399, 420, 690, 701}, []float64{1, 0, 0, 1}, "nothing could be seen"},
		{[]float64{380, 550, 780}, []float64{500, 5e-4, 0}, "nothing could be seen"},
	} {
		if _, err := NewIlluminant("lamp", c.nm, c.power); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, %v: error %v, want one that says %q", c.nm, c.power, err, c.want)
		}
	}
	for _, nm := range [][]float64{{420, 700}, {400, 550, 700}} {
		power := make([]float64, len(nm))
		power[len(nm)-1] = 1
		if _, err := NewIlluminant("lamp", nm, power); err != nil {
			t.Errorf("%v with light at 700 nm alone: %v", nm, err)
		}
	}
	if _, err := NewIlluminant("lamp", []float64{400, 500, 700}, []float64{1, 0, 0}); err != nil {
		t.Errorf("light at 400 nm alone: %v", err)
	}
}
