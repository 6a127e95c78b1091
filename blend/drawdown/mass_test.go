package drawdown

import (
	"math"
	"testing"
)

// By hand: 100 µm × 1.0 g/cm³ is 10 mg/cm² wet, 2 % of it 0.2 mg/cm²; 0.5 g
// over 50 cm² is 10 mg/cm² too. Relative errors of 3, 4 and 12 % make 13 %.
func TestMass(t *testing.T) {
	for _, c := range []struct {
		name string
		f    func() (Mass, error)
		want Mass
	}{
		{"stated", func() (Mass, error) { return FromMass(Figure{0.2, 0.01}) }, Mass{0.2, 0.01}},
		{"thickness", func() (Mass, error) { return FromThickness(Figure{100, 3}, Figure{1, 0.04}, Figure{2, 0.24}) }, Mass{0.2, 0.026}},
		{"grams", func() (Mass, error) { return FromGrams(Figure{0.5, 0.015}, Figure{50, 2}, Figure{2, 0.24}) }, Mass{0.2, 0.026}},
	} {
		got, err := c.f()
		if err != nil || math.Abs(got.MgPerCM2-c.want.MgPerCM2) > 1e-15 || math.Abs(got.Err-c.want.Err) > 1e-15 {
			t.Errorf("%s: %+v %v, want %+v", c.name, got, err, c.want)
		}
	}
	ok := Figure{1, 0}
	for _, bad := range []Figure{{0, 0}, {-1, 0}, {math.NaN(), 0}, {math.Inf(1), 0}, {1, -1}, {1, math.NaN()}} {
		for i, f := range []func() (Mass, error){
			func() (Mass, error) { return FromMass(bad) },
			func() (Mass, error) { return FromThickness(bad, ok, ok) },
			func() (Mass, error) { return FromThickness(ok, bad, ok) },
			func() (Mass, error) { return FromThickness(ok, ok, bad) },
			func() (Mass, error) { return FromGrams(bad, ok, ok) },
			func() (Mass, error) { return FromGrams(ok, bad, ok) },
			func() (Mass, error) { return FromGrams(ok, ok, bad) },
		} {
			if m, err := f(); err == nil {
				t.Errorf("%d took %+v for a measurement: %+v", i, bad, m)
			}
		}
	}
	if _, err := FromGrams(ok, ok, Figure{101, 0}); err == nil {
		t.Error("101 % taken for a load")
	}
}
