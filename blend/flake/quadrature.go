package flake

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/integrate/quad"
)

// rule is a quadrature: nodes and weights summing to 1.
type rule struct{ node, weight []float64 }

// single is the rule of a quantity that does not vary.
func single(x float64) rule { return rule{[]float64{x}, []float64{1}} }

// hermite holds Gauss–Hermite rules for a standard normal variable, by number
// of nodes.
var hermite = sync.OnceValue(func() []rule {
	rules := make([]rule, 33)
	for n := 1; n < len(rules); n++ {
		r := rule{make([]float64, n), make([]float64, n)}
		quad.Hermite{}.FixedLocations(r.node, r.weight, math.Inf(-1), math.Inf(1))
		for i := range r.node {
			r.node[i] *= math.Sqrt2
			r.weight[i] /= math.Sqrt(math.Pi)
		}
		rules[n] = r
	}
	return rules
})

// normal returns a rule for a standard normal variable ξ that integrates
// cos(4ωξ) to 3e-5: the fringe of both faces together and its overtone. Where Gauss–Hermite cannot,
// the trapezoidal rule does cos(2ωξ), being spectrally accurate for a Gaussian; bend is
// how much faster than ω the phase may run at the ends of its ±6.
func normal(omega, bend float64) rule {
	for _, r := range hermite()[3:] {
		worst := 0.0
		for k := 1.0; k <= 4; k++ { // lower ones too: a fringe can be missed by luck
			worst = max(worst, normalError(r, k*omega))
		}
		if worst < 3e-5 {
			return r
		}
	}
	const reach = 6
	half := int(math.Ceil(reach * (2*omega*bend + 6) / (2 * math.Pi)))
	r := rule{make([]float64, 2*half+1), make([]float64, 2*half+1)}
	sum := 0.0
	for i := range r.node {
		x := reach * float64(i-half) / float64(half)
		r.node[i], r.weight[i] = x, math.Exp(-x*x/2)
		sum += r.weight[i]
	}
	for i := range r.weight {
		r.weight[i] /= sum
	}
	return r
}

// normalError is how far a rule is from ⟨cos ωξ⟩ = e^(−ω²/2).
func normalError(r rule, omega float64) float64 {
	sum := 0.0
	for i, x := range r.node {
		sum += r.weight[i] * math.Cos(omega*x)
	}
	return math.Abs(sum - math.Exp(-omega*omega/2))
}

// lognormal returns thickness factors of mean 1 and relative standard
// deviation spread, fine enough for fringes of that phase in radians. A
// lognormal has no negative thicknesses, in which an absorbing coat would
// amplify.
func lognormal(spread, fringe float64) rule {
	if spread == 0 || fringe == 0 {
		return single(1)
	}
	s := math.Sqrt(math.Log1p(spread * spread))
	// Thick flakes of the distribution pass their fringes faster than mean ones.
	xi := normal(fringe*s*math.Exp(2*s), math.Exp(4*s))
	r := rule{make([]float64, len(xi.node)), xi.weight}
	mean := 0.0
	for i, x := range xi.node {
		r.node[i] = math.Exp(s * x)
		mean += r.weight[i] * r.node[i]
	}
	for i := range r.node {
		r.node[i] /= mean
	}
	return r
}

// cosines returns angles for directions uniform in sin²θ between 0 and most,
// as cosines with weights: dsin²θ = 2 cosθ dcosθ. Gonum's rule of 26 nodes (v0.17.0)
// has weights that sum 1 % short.
func cosines(most float64, n int) rule {
	if n == 26 {
		n++
	}
	r := rule{make([]float64, n), make([]float64, n)}
	quad.Legendre{}.FixedLocations(r.node, r.weight, math.Sqrt(1-most), 1)
	for i, c := range r.node {
		r.weight[i] *= 2 * c / most
	}
	return r
}
