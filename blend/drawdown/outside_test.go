package drawdown

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/optimize"

	"tawny/colour"
)

// least is the lowest that Gonum's simplex (Nelder and Mead 1965) finds from a
// start: another's solver, which asks for no derivatives.
func least(t *testing.T, start []float64, step, within float64, cost func(x []float64) float64) ([]float64, float64) {
	t.Helper()
	r, err := optimize.Minimize(optimize.Problem{Func: cost}, start, &optimize.Settings{Converger: &optimize.FunctionConverge{Absolute: within, Iterations: 12}}, &optimize.NelderMead{SimplexSize: step})
	if err != nil {
		t.Fatal(err)
	}
	return r.X, r.F
}

// Noisy films of masses that are off: the masses and the K and S of every band that
// the fit ends at are those another solver finds in the same sum of squares, two
// unknowns a band within three of the masses. The film is the program's own: this
// holds the solver and its derivatives.
func TestFitByAnotherSolver(t *testing.T) {
	for _, name := range []string{"red", "gold"} {
		p := powders()[name]
		rng := rand.New(rand.NewPCG(9, 4))
		readings := drawn(t, p, []float64{0.05, 0.1, 0.2}, 0.03)
		for i := range readings {
			readings[i].Read = disturb(rng, readings[i].Read, 0.3)
		}
		f, err := FitPowder(readings, &p)
		if err != nil {
			t.Fatal(err)
		}
		obs, _, err := observe(&p, readings)
		if err != nil {
			t.Fatal(err)
		}
		var found [colour.Bands][]float64 // ln K, ln S
		for j := range found {
			found[j] = []float64{math.Log(1.3 * p.K[j]), math.Log(0.7 * p.S[j])}
		}
		bands := func(delta []float64, within float64) (sum float64) {
			for i := range obs {
				obs[i].m = obs[i].Mass.MgPerCM2 * math.Exp(delta[obs[i].film])
			}
			for j := range found {
				x, c := least(t, found[j], 0.02, within, func(x []float64) (c float64) {
					for i := range obs {
						o := &obs[i]
						r := o.reads(j, math.Exp(x[0]), math.Exp(x[1]))
						c += (o.Read[j] - r) * (o.Read[j] - r) / (2 * o.noise[j] * o.noise[j])
					}
					return c
				})
				found[j] = x
				sum += c * independent / colour.Bands
			}
			for i, d := range delta {
				tau := f.Films[i].Err / f.Films[i].MgPerCM2
				sum += d * d / (2 * tau * tau)
			}
			return sum
		}
		delta, _ := least(t, make([]float64, 3), 0.02, 1e-7, func(x []float64) float64 { return bands(x, 1e-7) })
		bands(delta, 1e-12)
		worst := 0.0
		for j, x := range found {
			worst = max(worst, math.Max(math.Abs(math.Exp(x[0])-f.Powder.K[j]), math.Abs(math.Exp(x[1])-f.Powder.S[j]))/(f.Powder.K[j]+f.Powder.S[j]))
		}
		mass := 0.0
		for i, d := range delta {
			mass = max(mass, math.Abs(math.Log(f.Films[i].Seen/f.Films[i].MgPerCM2)-d))
		}
		t.Logf("%s: K and S agree to %.1g of K + S, masses to %.1g", name, worst, mass)
		if worst > 1e-3 || mass > 1e-3 {
			t.Errorf("%s: K and S differ by %.2g of K + S, masses by %.2g", name, worst, mass)
		}
	}
}
