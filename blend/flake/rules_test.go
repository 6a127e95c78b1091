package flake

import (
	"math"
	"testing"
)

// missed is how far a rule is from ⟨cos ωξ⟩ = e^(−ω²/2), the mean of a normal
// variable's fringe.
func missed(r rule, omega float64) float64 {
	sum := 0.0
	for i, x := range r.node {
		sum += r.weight[i] * math.Cos(omega*x)
	}
	return math.Abs(sum - math.Exp(-omega*omega/2))
}

// A rule for a normal variable integrates its fringe and three overtones to 3e-5,
// with the fewest nodes of Gauss–Hermite that do, or the fringe and one by the
// trapezoidal rule, whose step resolves that phase.
func TestNormalRules(t *testing.T) {
	gauss, trapezoidal := 0, 0
	for _, omega := range []float64{0, 0.05, 0.3, 0.7, 1, 1.3, 2, 5, 20, 60} {
		r := normal(omega, 1.2)
		n, want, overtones := len(r.node), 0, 2.0
		for fewest := 3; fewest < len(hermite()) && want == 0; fewest++ {
			worst := 0.0
			for k := 1.0; k <= 4; k++ {
				worst = max(worst, missed(hermite()[fewest], k*omega))
			}
			if worst < 3e-5 {
				want, overtones = fewest, 4
				gauss++
			}
		}
		if want == 0 {
			trapezoidal++
			want = 2*int(math.Ceil(6*(2*omega*1.2+6)/(2*math.Pi))) + 1
			for i := 2; i < n; i++ {
				near(t, "step", r.node[i]-2*r.node[i-1]+r.node[i-2], 0, 1e-12)
			}
		}
		if n != want {
			t.Errorf("ω %g: %d nodes, want %d", omega, n, want)
		}
		for k := 1.0; k <= overtones; k++ {
			near(t, "fringe", missed(r, k*omega), 0, 3e-5)
		}
		near(t, "first", r.node[0]+r.node[n-1], 0, 1e-12)
	}
	if gauss < 4 || trapezoidal < 3 {
		t.Errorf("%d rules of Gauss and %d trapezoidal", gauss, trapezoidal)
	}
	if n := len(normal(0, 1).node); n != 3 {
		t.Errorf("no fringe takes %d nodes", n)
	}
}

// Thickness factors have the mean 1 and the relative deviation asked for, finer for
// faster fringes: a factor's phase runs by fringe × spread, more in thick flakes.
func TestLognormalFactors(t *testing.T) {
	for _, spread := range []float64{0.05, 0.2, 0.3} {
		for _, fringe := range []float64{0.5, 6, 60} {
			r := lognormal(spread, fringe)
			sum, mean, square := 0.0, 0.0, 0.0
			for i, x := range r.node {
				sum += r.weight[i]
				mean += r.weight[i] * x
				square += r.weight[i] * (x - 1) * (x - 1)
			}
			near(t, "weights", sum, 1, 1e-12)
			near(t, "mean", mean, 1, 1e-12)
			near(t, "deviation", math.Sqrt(square), spread, 2e-2*spread)
			s := math.Sqrt(math.Log1p(spread * spread))
			if want := len(normal(fringe*s*math.Exp(2*s), math.Exp(4*s)).node); len(r.node) != want {
				t.Errorf("spread %g, fringe %g: %d nodes, want %d", spread, fringe, len(r.node), want)
			}
			// ln of them is normal about −s²/2.
			middle := r.node[len(r.node)/2]
			if len(r.node)%2 == 1 {
				near(t, "middle", math.Log(middle), -s*s/2, 2e-3)
			}
		}
	}
	if r := lognormal(0, 5); len(r.node) != 1 || r.node[0] != 1 {
		t.Errorf("no spread: %v", r)
	}
	if r := lognormal(0.1, 0); len(r.node) != 1 || r.node[0] != 1 {
		t.Errorf("no fringe: %v", r)
	}
}

// Uniform in sin²θ up to u, cos θ has the mean ⅔(1 − (1−u)^(3/2))/u, and lies
// between √(1−u) and 1.
func TestCosinesOfACone(t *testing.T) {
	for _, u := range []float64{0.1, 1 / (1.47 * 1.47), 0.9, 1} {
		r := cosines(u, 9)
		mean := 0.0
		for i, c := range r.node {
			mean += r.weight[i] * c
			if c < math.Sqrt(1-u) || c > 1 {
				t.Errorf("u %g: cosine %g", u, c)
			}
		}
		near(t, "mean cosine", mean, 2.0/3*(1-math.Pow(1-u, 1.5))/u, 1e-12)
	}
}

// The rule of ∫ dμ over the cosines in a binder is cut at the edge of the escape
// cone, √(1 − 1/n²), where R and T bend: its parts integrate a power of μ each.
func TestIncidenceRule(t *testing.T) {
	for _, n := range []float64{1.33, 1.47, 1.7} {
		cosine, weight := Incidences(n)
		edge := math.Sqrt(1 - 1/(n*n))
		for power := 0.0; power < 4; power++ {
			var sum [2]float64
			for i, c := range cosine {
				part := 0
				if i >= GrazingCosines {
					part = 1
				}
				if (c > edge) != (part == 1) || c <= 0 || c >= 1 {
					t.Errorf("index %g: cosine %d is %g, the edge %g", n, i, c, edge)
				}
				sum[part] += weight[i] * math.Pow(c, power)
			}
			grazing := math.Pow(edge, power+1) / (power + 1)
			near(t, "grazing", sum[0], grazing, 1e-13)
			near(t, "steep", sum[1], 1/(power+1)-grazing, 1e-13)
		}
	}
}

// Light let in from air to a binder reaches no further than its escape cone.
func TestIncomingCone(t *testing.T) {
	for _, n := range []float64{1, 1.33, MaxBinder} {
		p, err := Flake{Binder: n}.prepare()
		if err != nil {
			t.Fatal(err)
		}
		r, u, mean := p.incoming(), 1/(n*n), 0.0
		for i, c := range r.node {
			mean += r.weight[i] * c
		}
		near(t, "mean cosine", mean, 2.0/3*(1-math.Pow(1-u, 1.5))/u, 1e-12)
	}
}

// A double pass through mica of mean thickness d turns by 2kγd, and a spread of s
// fades it to e^(−(2kγs)²/2), the mean of a normal variable's turn.
func TestMicaFringe(t *testing.T) {
	const k0, gamma, d, s = 2 * math.Pi / 550, 1.5, 410.0, 20.0
	f := newFringe(k0, gamma, d, s)
	near(t, "cos", real(f.z), math.Cos(4*math.Pi*gamma*d/550), 1e-12)
	near(t, "sin", imag(f.z), math.Sin(4*math.Pi*gamma*d/550), 1e-12)
	r, mean := normal(4*math.Pi*gamma*s/550, 1), 0.0
	for i, x := range r.node {
		mean += r.weight[i] * math.Cos(4*math.Pi*gamma*s/550*x)
	}
	near(t, "faded", f.fade, mean, 3e-5)
}
