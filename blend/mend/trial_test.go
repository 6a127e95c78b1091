package mend

import (
	"math"
	"testing"
)

// A trial is the smallest whole gram: each part is five steps there, and on a
// gram less one is not.
func TestTrial(t *testing.T) {
	for _, c := range []struct {
		batch, step, powder, base float64
		want                      float64 // g; 0 for none
	}{
		{400, 0.01, 0.5, 0, 40}, {400, 0.01, 0.5, 0.25, 80}, {400, 0.01, 0, 20, 1}, {400, 0.001, 0.5, 0, 4},
		{421, 0.01, 0.37, 0, 57}, {200, 0.01, 0.05, 0, 0}, {200, 0, 1, 0, 0},
	} {
		m := &Mending{BaseGrams: c.base}
		if c.powder > 0 {
			m.Additions = []Addition{{Grams: c.powder}}
		}
		got := m.Trial(c.batch, c.step)
		if c.want == 0 || got == nil {
			if got != nil || c.want != 0 {
				t.Errorf("%+v: %+v", c, got)
			}
			continue
		}
		steps := func(g, of float64) float64 { return g * of / c.batch / c.step }
		least := math.Inf(1)
		for _, g := range []float64{c.powder, c.base} {
			if g > 0 {
				least = math.Min(least, g)
			}
		}
		if got.Grams != c.want || steps(least, got.Grams) < 5-1e-9 || c.want > 1 && steps(least, got.Grams-1) >= 5 {
			t.Errorf("%+v: %g g", c, got.Grams)
		}
		if c.powder > 0 && math.Abs(got.Additions[0].Grams-c.powder*got.Grams/c.batch) > c.step/2+1e-12 {
			t.Errorf("%+v: %+v", c, got)
		}
	}
}
