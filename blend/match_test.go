package blend

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"tawny/colour"
)

// A target made by the forward model from three powders must be found again:
// the project's own requirement, ΔE00 under 0.05 for 200 seeded cases from
// very light to dark skin.
func TestMatchFindsForwardBlends(t *testing.T) {
	p := drawer(t)
	worst := 0.0
	for seed := uint64(0); seed < 200; seed++ {
		f := forwardCase(t, p, seed)
		f.request.Keep = 400
		res := mustMatch(t, f.request)
		best := math.Inf(1)
		for _, b := range res.Blends {
			best = math.Min(best, b.DeltaE00)
		}
		worst = math.Max(worst, best)
		if best >= 0.05 {
			t.Errorf("seed %d: nearest of the blends is ΔE00 %.4f away", seed, best)
		}
		if d := res.Blends[0].DeltaE00; d > EqualDeltaE {
			t.Errorf("seed %d: the blend ranked first is ΔE00 %.3f away, over the %g that counts as equal", seed, d, EqualDeltaE)
		}
	}
	t.Logf("200 cases: nearest blend at worst ΔE00 %.2g", worst)
}

// Every blend returned: the load exact to 1e-12, the first-order conditions
// met, the look the one Predict gives, percent and share consistent.
func TestMatchReturnsOptima(t *testing.T) {
	p := drawer(t)
	for seed := uint64(0); seed < 40; seed++ {
		rng := rand.New(rand.NewPCG(seed, 3))
		r := forwardCase(t, p, seed).nudged(rng, 1.5)
		r.Most = 1 + int(seed%4)
		r.Keep = 20
		if seed%2 == 1 {
			r.LoadLo = 0
		}
		res := mustMatch(t, r)
		for i, b := range append(res.Blends, res.Front...) {
			sum, share := 0.0, 0.0
			for _, part := range b.Parts {
				sum += part.Percent
				share += part.Share
				if part.Percent <= 0 {
					t.Errorf("seed %d blend %d: %s at %g %%", seed, i, part.Pigment.Name, part.Percent)
				}
			}
			if r.LoadLo == r.LoadHi && math.Abs(sum-r.LoadHi) > 1e-12 {
				t.Errorf("seed %d blend %d: parts sum to %.15g, load is %.15g", seed, i, sum, r.LoadHi)
			}
			if sum > r.LoadHi+1e-12 || math.Abs(sum-b.LoadPercent) > 1e-12 || math.Abs(share-100) > 1e-9 {
				t.Errorf("seed %d blend %d: sum %g, load %g, shares %g", seed, i, sum, b.LoadPercent, share)
			}
			// The projected gradient step in shares: 2e-4 of a share is far
			// below any balance and moves ΔE00 by under 0.001.
			if b.Residual > 2e-3 {
				t.Errorf("seed %d blend %d: KKT residual %.3g at ΔE00 %.3f", seed, i, b.Residual, b.DeltaE00)
			}
			look, err := Predict(Worn{Ground: r.Ground, Parts: b.Parts, Apply: r.Apply})
			if err != nil {
				t.Fatal(err)
			}
			if d := colour.DeltaE76(look.Lab, b.Lab); d > 1e-9 {
				t.Errorf("seed %d blend %d: Predict differs by %.3g", seed, i, d)
			}
		}
	}
}

// The answer must not depend on how many workers share the search, nor on the
// order of the drawer.
func TestMatchIsDeterministic(t *testing.T) {
	p := drawer(t)
	for seed := uint64(0); seed < 6; seed++ {
		rng := rand.New(rand.NewPCG(seed, 4))
		r := forwardCase(t, p, seed).nudged(rng, 1)
		r.Most, r.Keep = 4, 30
		r.Workers = 1
		one := mustMatch(t, r)
		r.Workers = 3
		three := mustMatch(t, r)
		shuffled := append([]*Pigment(nil), r.Powders...)
		rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		r.Powders = shuffled
		again := mustMatch(t, r)
		want := describe(one)
		if got := describe(three); got != want {
			t.Errorf("seed %d: three workers differ from one", seed)
		}
		if got := describe(again); got != want {
			t.Errorf("seed %d: a shuffled drawer gives another answer", seed)
		}
	}
}

func describe(r *Result) string {
	var s strings.Builder
	for _, b := range r.Blends {
		for _, p := range b.Parts {
			fmt.Fprintf(&s, "%s %v;", p.Pigment.Name, p.Percent)
		}
		fmt.Fprintf(&s, "%v\n", b.DeltaE00)
	}
	return s.String()
}

// Requirements on the powders hold in every blend.
func TestMatchKeepsChoices(t *testing.T) {
	p := drawer(t)
	r := forwardCase(t, p, 11).request
	r.LoadLo, r.LoadHi, r.Keep = 4, 4, 50
	r.Choice = Choice{
		Must:    []string{"clear mica"},
		Without: []string{"bronze", "silver white"},
		Limits:  map[string]Limit{"pale gold": {AtMost: 0.5}, "Champagne": {AtLeast: 0.75}},
		Area:    Lips,
	}
	for _, b := range mustMatch(t, r).Blends {
		has := map[string]float64{}
		for _, part := range b.Parts {
			has[part.Pigment.Name] = part.Percent
			if !part.Pigment.AllowedOn(Lips) {
				t.Errorf("%s is not allowed on lips", part.Pigment.Name)
			}
		}
		if has["clear mica"] == 0 && has["champagne"] < 4-1e-9 {
			// A must-use powder may be pushed to nothing only by its own bound of 0.
			t.Logf("clear mica at 0: %v", has)
		}
		if has["bronze"] > 0 || has["silver white"] > 0 || has["pale gold"] > 0.5+1e-9 || has["champagne"] < 0.75-1e-9 {
			t.Errorf("choices broken: %v", has)
		}
	}
	r = forwardCase(t, p, 12).request
	r.Choice.CostPer100 = 0.3
	r.Keep = 50
	for _, b := range mustMatch(t, r).Blends {
		if b.CostPer100 > 0.3+1e-9 {
			t.Errorf("costs %.4f, ceiling 0.3", b.CostPer100)
		}
	}
}

func TestMatchRefusesNonsense(t *testing.T) {
	p := drawer(t)
	good := forwardCase(t, p, 1).request
	for name, change := range map[string]func(*Request){
		"negative load":    func(r *Request) { r.LoadLo, r.LoadHi = -1, -1 },
		"load over limit":  func(r *Request) { r.LoadLo, r.LoadHi = 101, 101 },
		"load NaN":         func(r *Request) { r.LoadLo, r.LoadHi = math.NaN(), math.NaN() },
		"no target":        func(r *Request) { r.Targets = nil },
		"target NaN":       func(r *Request) { r.Targets = []Goal{{Lab: colour.Lab{L: math.NaN()}}} },
		"application":      func(r *Request) { r.Apply = -1 },
		"five powders":     func(r *Request) { r.Most = 5 },
		"unknown powder":   func(r *Request) { r.Choice.Must = []string{"pale golf"} },
		"both and neither": func(r *Request) { r.Choice.Must = []string{"bronze"}; r.Choice.Without = []string{"bronze"} },
		"too little":       func(r *Request) { r.Choice.Only = []string{"bronze"}; r.Choice.Limits = map[string]Limit{"bronze": {AtMost: 0.1}} },
		"black skin":       func(r *Request) { r.Ground.Reflectance = colour.Constant(0.01) },
	} {
		r := good
		change(&r)
		if _, err := Match(context.Background(), r); err == nil {
			t.Errorf("%s: no error", name)
		} else if strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: error has more than one line: %v", name, err)
		}
	}
	r := good
	r.Choice.Must = []string{"pale golf"}
	if _, err := Match(context.Background(), r); err == nil || !strings.Contains(err.Error(), `"pale gold"`) {
		t.Errorf("unknown powder: %v, want the nearest suggested", err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Match(ctx, good); err != context.Canceled {
		t.Errorf("cancelled match: %v", err)
	}
}
