package batch

import (
	"math"
	"testing"
)

// What is still to come keeps the proportions of what was weighed.
func TestToCome(t *testing.T) {
	g := func(x float64) *float64 { return &x }
	for _, c := range []struct {
		name  string
		lines []Made
		want  []float64 // 0 stays as planned
	}{
		{"as planned", []Made{{"", 90, g(90), false}, {"", 10, nil, false}}, []float64{0, 0}},
		{"a tenth over", []Made{{"", 80, g(88), false}, {"", 10, nil, false}, {"", 5, nil, true}}, []float64{0, 11, 5.5}},
		{"powders follow powders", []Made{{"", 90, g(90), false}, {"", 4, g(4.4), true}, {"", 2, nil, true}}, []float64{0, 0, 2.2}},
		{"less than a step", []Made{{"", 90, g(90.2), false}, {"", 1, nil, false}}, []float64{0, 0}},
		{"nothing weighed", []Made{{"", 90, nil, false}}, []float64{0}},
	} {
		for i, now := range ToCome(c.lines, 0.01) {
			got := 0.0
			if now != nil {
				got = *now
			}
			if math.Abs(got-c.want[i]) > 1e-9 {
				t.Errorf("%s, line %d: %g g, want %g", c.name, i+1, got, c.want[i])
			}
		}
	}
}
