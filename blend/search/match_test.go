package search

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// A target made by the forward model from three powders must be found again:
// a convention of this tool, ΔE00 under 0.001 for 200 seeded cases from
// very light to dark skin, every tenth from the whole drawer and the others from
// the three and some more, which is harder: fewer blends come as near.
func TestMatchFindsForwardBlends(t *testing.T) {
	p := drawer(t)
	worst, worstRanked := 0.0, 0.0
	cases := seeded(200)
	for seed := range uint64(cases) {
		f := forwardCase(t, p, seed)
		if seed%10 > 0 {
			f.request.Powders = f.some(rand.New(rand.NewPCG(seed, 3)), 12)
		}
		f.request.Equal, f.request.Keep = 1e-12, 1 // nearest first: the figure is the solver's
		k, err := explore(t.Context(), f.request)
		if err != nil {
			t.Fatal(err)
		}
		first := func() float64 {
			blends, _, err := k.rank(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			return blends[0].DeltaE00
		}
		best := first()
		worst = math.Max(worst, best)
		if best >= 0.001 {
			t.Errorf("seed %d: the nearest blend is ΔE00 %.4f away", seed, best)
		}
		if seed < 30 {
			// Told apart by what a maker cares for, and still equal.
			k.request.Equal = EqualDeltaE
			d := first()
			worstRanked = math.Max(worstRanked, d)
			if d > EqualDeltaE {
				t.Errorf("seed %d: the blend ranked first is ΔE00 %.3f away, over the %g that counts as equal", seed, d, EqualDeltaE)
			}
		}
	}
	t.Logf("%d cases: nearest blend at worst ΔE00 %.2g; ranked first of the first 30, at worst %.2g", cases, worst, worstRanked)
}

// Of few wanted the same come first as of many, and as near.
func TestFewAreTheFirstOfMany(t *testing.T) {
	for seed := range uint64(2 * kinds) {
		r := stressCase(t, drawer(t), int(seed)%kinds, 500+seed, 12)
		if seed >= kinds {
			r.Equal = 0
		}
		few, err := Match(t.Context(), r)
		if err == errBare {
			continue
		}
		r.Keep = settleBest
		many := mustMatch(t, r)
		if err != nil {
			t.Fatal(err)
		}
		for i, b := range few.Blends {
			if want := many.Blends[i]; math.Abs(b.Objective-want.Objective) > 1e-6*(1+want.Objective) || b.Parts[0].Pigment != want.Parts[0].Pigment || len(b.Parts) != len(want.Parts) {
				t.Errorf("seed %d blend %d: %v at √f %.5f, of many %v at %.5f", seed, i, amounts(b.Parts), math.Sqrt(b.Objective), amounts(want.Parts), math.Sqrt(want.Objective))
			}
		}
	}
}

// Every blend returned: the load exact to 1e-12, the first-order conditions
// met, the look the one Predict gives, load and percents consistent.
func TestMatchReturnsOptima(t *testing.T) {
	p := drawer(t)
	worst := 0.0
	for seed := range uint64(27) {
		r := stressCase(t, p, int(seed)%kinds, 40+seed, 14)
		r.Most, r.Keep = 1+int(seed%4), 20
		switch seed % 5 {
		case 1:
			r.Choice.Must = []string{r.Powders[0].Name}
		case 2:
			r.Choice.Limits = map[string]Limit{r.Powders[1].Name: {AtMost: r.LoadHi / 3}, r.Powders[2].Name: {AtLeast: r.LoadHi / 4}}
		case 3:
			r.Choice.CostPer100 = 0.1 * r.LoadHi
		}
		res := mustMatch(t, r)
		for i, b := range append(res.Blends, res.Front...) {
			sum := 0.0
			for _, part := range b.Parts {
				sum += part.Percent
				if part.Percent <= 0 {
					t.Errorf("seed %d blend %d: %s at %g %%", seed, i, part.Pigment.Name, part.Percent)
				}
			}
			if r.LoadLo == r.LoadHi && math.Abs(sum-r.LoadHi) > 1e-12 {
				t.Errorf("seed %d blend %d: parts sum to %.15g, load is %.15g", seed, i, sum, r.LoadHi)
			}
			if sum > r.LoadHi+1e-12 || math.Abs(sum-b.LoadPercent) > 1e-12 {
				t.Errorf("seed %d blend %d: sum %g, load %g", seed, i, sum, b.LoadPercent)
			}
			if k := kkt(t, r, b); k > 2e-3 || b.Residual > 2e-3 {
				t.Errorf("seed %d (%s) blend %d: KKT residual %.3g, by differences %.3g, at ΔE00 %.3f, %+v", seed, kindName[seed%uint64(kinds)], i, b.Residual, k, b.DeltaE00, b.Parts)
			} else {
				worst = math.Max(worst, k)
			}
			look, err := film.Predict(film.Worn{Ground: r.Ground, Parts: b.Parts, Apply: r.Apply})
			if err != nil {
				t.Fatal(err)
			}
			if d := colour.DeltaE76(look.Lab, b.Lab); d > 1e-9 {
				t.Errorf("seed %d blend %d: Predict differs by %.3g", seed, i, d)
			}
		}
	}
	t.Logf("worst KKT residual %.2g in f for each unit of share", worst)
}

// kkt works out how far a blend is from meeting the first-order conditions, by
// differences and without the solver's own multipliers: over its powders, a
// little of one exchanged for another (or added, or taken away, where the load
// allows) must not lower f. It returns the steepest fall left, in f for each
// unit of share.
func kkt(t *testing.T, r Request, b Blend) float64 {
	t.Helper()
	g, err := NewMixture(r, b.Parts)
	if err != nil {
		t.Fatal(err)
	}
	at := Percents(b.Parts)
	n := len(b.Parts)
	const h = 1e-5
	step := h * r.LoadHi
	slope := make([]float64, n)
	for i := range n {
		up, down := slices.Clone(at), slices.Clone(at)
		up[i] += step
		down[i] -= step
		slope[i] = (g.Objective(up) - g.Objective(down)) / (2 * h)
	}
	room := make([][2]float64, n) // per cent it may fall and rise
	cost := 0.0
	r.defaultedFor(t)
	for i, p := range b.Parts {
		must := false
		for _, m := range r.Choice.Must {
			must = must || m == p.Pigment.Name
		}
		lo, hi := r.limits(p.Pigment, must || r.Choice.Limits[p.Pigment.Name].AtLeast > 0)
		room[i] = [2]float64{at[i] - lo*r.LoadHi, hi*r.LoadHi - at[i]}
		cost += at[i] * p.Pigment.PricePerG
	}
	spare := math.Inf(1)
	if r.Choice.CostPer100 > 0 {
		spare = r.Choice.CostPer100 - cost
	}
	const tight = 1e-9
	worst := 0.0
	for i := range n {
		p := b.Parts[i].Pigment.PricePerG
		// One more, one less, where the load is free.
		if r.LoadLo < r.LoadHi {
			if b.LoadPercent < r.LoadHi-tight && room[i][1] > tight && (spare > tight || p == 0) {
				worst = math.Max(worst, -slope[i])
			}
			if b.LoadPercent > r.LoadLo+tight && room[i][0] > tight {
				worst = math.Max(worst, slope[i])
			}
		}
		for j := range n {
			q := b.Parts[j].Pigment.PricePerG
			if i != j && room[i][1] > tight && room[j][0] > tight && (spare > tight || p <= q) {
				worst = math.Max(worst, (slope[j]-slope[i])/math.Sqrt2)
			}
		}
	}
	return worst
}

func (r *Request) defaultedFor(t *testing.T) {
	t.Helper()
	d, err := r.WithDefaults()
	if err != nil {
		t.Fatal(err)
	}
	*r = d
}

// The answer must not depend on how many workers share the search, nor on the
// order of the drawer.
func TestMatchIsDeterministic(t *testing.T) {
	p := drawer(t)
	for seed := range uint64(max(2, seeded(6))) {
		rng := rand.New(rand.NewPCG(seed, 4))
		f := forwardCase(t, p, seed)
		r := f.nudged(rng, 1)
		r.Most, r.Keep = 4, 30
		r.Powders = f.some(rng, 20)
		r.Workers = 1
		one := mustMatch(t, r)
		r.Workers = 3
		three := mustMatch(t, r)
		shuffled := append([]*palette.Pigment(nil), r.Powders...)
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
		"too little": func(r *Request) {
			r.Choice.Only = []string{"bronze"}
			r.Choice.Limits = map[string]Limit{"bronze": {AtMost: 0.1}}
		},
		"black skin": func(r *Request) { r.Ground.Reflectance = colour.Constant(0) },
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

// A match counts the glints of its powders as Glints does.
func TestMatchCountsGlints(t *testing.T) {
	f := forwardCase(t, drawer(t), 3)
	r := f.request
	r.Powders = f.some(rand.New(rand.NewPCG(3, 3)), 6)
	k, err := explore(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	for i, g := range k.use {
		want, err := film.Glints(film.Worn{Ground: r.Ground, Parts: []film.Part{{Pigment: g, Percent: r.LoadHi}}, Apply: r.Apply})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(k.glints[i]-want.PerCM2) > 1e-9*want.PerCM2 {
			t.Errorf("%s: %.6g glints, Glints has %.6g", g.Name, k.glints[i], want.PerCM2)
		}
	}
}

// With a coarse balance the weighing error, not 0.3, says what is equal.
func TestEqualWidensToWeighing(t *testing.T) {
	p := drawer(t)
	r := forwardCase(t, p, 5).request
	r.BatchGrams, r.BalanceStep = 50, 0.5
	if e := mustMatch(t, r).Request.Equal; e <= EqualDeltaE {
		t.Errorf("equal within %.3f on a balance of 0.5 g for 50 g", e)
	}
	r.BalanceStep = 0.001
	if e := mustMatch(t, r).Request.Equal; e != EqualDeltaE {
		t.Errorf("equal within %.3f on a balance of 0.001 g", e)
	}
	r.BalanceStep, r.Equal = 0.5, 0.1
	if e := mustMatch(t, r).Request.Equal; e != 0.1 {
		t.Errorf("asked for 0.1, equal within %.3f", e)
	}
}
