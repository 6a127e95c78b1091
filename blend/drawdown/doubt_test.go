package drawdown

import (
	"math"
	"strings"
	"testing"
)

// Films over black alone fit as well as can be and still do not say what the
// powder absorbs: the verdict must not be that the fit holds, and the reason
// must say by how much a film is left open.
func TestOneGroundDoesNotHold(t *testing.T) {
	for name, p := range powders() {
		both := drawn(t, p, []float64{0.06, 0.15, 0.4}, 0.02)
		var black []Reading
		for _, r := range both {
			if r.Ground[18] < 0.3 {
				black = append(black, r)
			}
		}
		if len(black) != 3 {
			t.Fatalf("%d readings over black", len(black))
		}
		f, err := FitPowder(black, &p)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		why := strings.Join(f.Reasons, "; ")
		if f.Mean > 0.01 || f.Verdict != WithCare || !strings.Contains(why, "only one ground") {
			t.Errorf("%s over black: residual %.3f, doubt %.2f, %s: %s", name, f.Mean, f.Doubt, f.Verdict, why)
		}
		whole, err := FitPowder(both, &p)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		t.Logf("%s: doubt ΔE00 %.2f over both grounds, %.2f over black", name, whole.Doubt, f.Doubt)
		if !(whole.Doubt > 0 && f.Doubt > whole.Doubt) {
			t.Errorf("%s: doubt %.2f over black, %.2f over both", name, f.Doubt, whole.Doubt)
		}
	}
}

// Masses known to a sixth leave a film open by more than is seen, whatever the
// residuals.
func TestDoubtOfMassesIsSaid(t *testing.T) {
	p := powders()["gold"]
	f, err := FitPowder(drawn(t, p, []float64{0.06, 0.15, 0.4}, 0.3), &p)
	if err != nil {
		t.Fatal(err)
	}
	if why := strings.Join(f.Reasons, "; "); f.Verdict != WithCare || !strings.Contains(why, "open by ΔE00") || f.Doubt < 1 {
		t.Errorf("%s, doubt %.2f: %s", f.Verdict, f.Doubt, why)
	}
}

// However little the films tell, the doubt is a number that can be written.
func TestDoubtIsANumber(t *testing.T) {
	for name, p := range powders() {
		for _, loads := range [][]float64{{1e-6, 2e-6}, {1e-6, 50}, {50, 80}} {
			f, err := FitPowder(drawn(t, p, loads, 0.05), &p)
			if err != nil {
				continue // said so
			}
			if math.IsNaN(f.Doubt) || math.IsInf(f.Doubt, 0) || f.Doubt < 0 || f.Verdict == Holds && f.Doubt > holdsDoubt {
				t.Errorf("%s at %v: doubt %g, %s", name, loads, f.Doubt, f.Verdict)
			}
		}
	}
}
