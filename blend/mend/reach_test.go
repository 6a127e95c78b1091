package mend

import (
	"math"
	"strings"
	"testing"
	"time"

	"tawny/blend/film"
	"tawny/blend/search"
	"tawny/colour"
)

// A target made at another load, in another coverage or with one more powder
// is out of reach until that change is allowed, and then is reached by it.
func TestReachFindsWhatWasTakenAway(t *testing.T) {
	p := drawer(t)
	kinds := map[string]int{}
	took := time.Duration(0)
	for seed := range uint64(9) {
		f := forwardCase(t, p, 900+seed)
		r := f.request
		r.Powders = nil
		for _, part := range f.parts {
			r.Powders = append(r.Powders, part.Pigment)
		}
		what := [...]string{"load", "coverage", "powder"}[seed%3]
		switch what {
		case "load":
			r.LoadLo, r.LoadHi = r.LoadHi/2, r.LoadHi/2
		case "coverage":
			r.Apply /= 2.5
		case "powder":
			r.Powders = r.Powders[1:]
		}
		res := mustMatch(t, r)
		start := time.Now()
		told := 0
		r.Progress = func(done float64) {
			if told++; !(done > 0 && done <= 1) {
				t.Errorf("seed %d: %g of it is done", seed, done)
			}
		}
		got, err := Reach(t.Context(), r, res)
		took = max(took, time.Since(start))
		if err != nil {
			t.Fatal(err)
		}
		if got.Reached {
			continue // nothing was taken away that mattered
		}
		if told < reachApplies {
			t.Errorf("seed %d: told %d times how far it is", seed, told)
		}
		kinds[what]++
		route := map[string]*Route{"load": got.Load, "coverage": got.Coverage}[what]
		if what == "powder" && len(got.Powders) > 0 {
			route = &got.Powders[0]
		}
		if route == nil || !route.Reaches {
			t.Errorf("seed %d: the %s that reaches was not found: %+v", seed, what, route)
			continue
		}
		for _, route := range []*Route{got.Load, got.Coverage} {
			if route != nil {
				checkRoute(t, r, got, route)
			}
		}
		for i := range got.Powders {
			checkRoute(t, r, got, &got.Powders[i])
		}
		// No load nearer the asked one would do, as far as the halving goes.
		if what == "load" {
			want := f.request.LoadHi
			if math.Abs(route.LoadPercent-r.LoadHi) > math.Abs(want-r.LoadHi)*1.05+0.05 {
				t.Errorf("seed %d: load %.3f %% offered; %.3f %% reaches and is nearer %.3f %%", seed, route.LoadPercent, want, r.LoadHi)
			}
		}
		if got.Missing.Words == "" && got.Missing.DeltaE00 > 1.5 {
			t.Errorf("seed %d: ΔE00 %.2f off and no word for it", seed, got.Missing.DeltaE00)
		}
	}
	t.Logf("out of reach by %v; slowest report %v", kinds, took.Round(time.Millisecond))
	if kinds["load"] == 0 || kinds["coverage"] == 0 || kinds["powder"] == 0 {
		t.Error("not every kind was put to the test")
	}
}

// checkRoute looks a route's blend up with Predict.
func checkRoute(t *testing.T, r search.Request, got *ReachReport, route *Route) {
	t.Helper()
	look, err := film.Predict(film.Worn{Ground: r.Ground, Parts: route.Blend.Parts, Apply: route.Apply})
	if err != nil {
		t.Fatal(err)
	}
	d := colour.DeltaE00(look.Lab, r.Targets[0].Lab)
	if math.Abs(d-route.DeltaE00) > 1e-6 || route.Reaches != (d <= got.Within) {
		t.Errorf("route says ΔE00 %.4f (reaches %v), Predict %.4f", route.DeltaE00, route.Reaches, d)
	}
	if !route.Reaches && route.DeltaE00 > got.Nearest.DeltaE00-reachGain {
		t.Errorf("a route of ΔE00 %.3f gains nothing on %.3f", route.DeltaE00, got.Nearest.DeltaE00)
	}
}

// A shade nothing reaches still gets the nearest and what it lacks.
func TestReachFarAway(t *testing.T) {
	t.Parallel()
	p := drawer(t)
	r := forwardCase(t, p, 950).request
	r.Powders = p.Pigments[:8]
	r.Targets = []search.Goal{{Lab: colour.Lab{L: 30, A: 10, B: -50}}}
	res := mustMatch(t, r)
	got, err := Reach(t.Context(), r, res)
	if err != nil {
		t.Fatal(err)
	}
	if got.Reached || !strings.Contains(got.Missing.Words, "darker") || got.Together == nil || got.Together.Reaches {
		t.Errorf("%+v", got)
	}
	if got.Together != nil && len(got.Powders) > 0 && got.Together.DeltaE00 > got.Powders[0].DeltaE00+0.01 {
		t.Errorf("everything together comes to %.2f, one powder alone to %.2f", got.Together.DeltaE00, got.Powders[0].DeltaE00)
	}
	if _, err := Reach(t.Context(), r, nil); err == nil {
		t.Error("no result: no error")
	}
}
