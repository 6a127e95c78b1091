package blend

import (
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"tawny/colour"
	"tawny/colour/skin"
)

func rangeOf(p []*Pigment, d [3]float64, load float64) RangeRequest {
	var q RangeRequest
	for _, s := range skin.Presets()[1:5] {
		c := s.Lab.LCh()
		target := colour.LCh{L: c.L + d[0], C: c.C + d[1], H: c.H + d[2]}.Lab()
		q.Members = append(q.Members, Member{s.Name, Request{
			Ground: Ground{Reflectance: s.Reflectance}, Targets: []Goal{{Lab: target}},
			Powders: p, LoadLo: load, LoadHi: load, Apply: 1,
		}})
	}
	return q
}

// No smaller set serves: every set one powder smaller is tried, by matching
// each shade from it alone.
func TestRangeIsSmallest(t *testing.T) {
	p := drawer(t)
	for seed := uint64(0); seed < 3; seed++ {
		rng := rand.New(rand.NewPCG(seed, 21))
		var some []*Pigment
		for _, k := range rng.Perm(len(p.Pigments))[:12] {
			some = append(some, p.Pigments[k])
		}
		q := rangeOf(some, [3]float64{0, 2, 1}, 2.5)
		q.Within = 0.5
		res, err := Range(context.Background(), q)
		if err != nil {
			t.Fatal(err)
		}
		limits := make([]float64, len(q.Members))
		for i, s := range res.Shades {
			limits[i] = math.Max(q.Within, s.Nearest)
			if s.Blend.DeltaE00 > limits[i]+0.02 {
				t.Errorf("seed %d, %s: ΔE00 %.3f from the set, limit %.3f", seed, s.Name, s.Blend.DeltaE00, limits[i])
			}
		}
		size := len(res.Powders) - 1
		t.Logf("seed %d: %d powders, %d such sets", seed, size+1, res.Sets)
		if size == 0 {
			continue
		}
		pick := make([]int, size)
		unrank(0, size, pick)
		for range binomial(len(some), size) {
			var names []string
			for _, k := range pick {
				names = append(names, some[k].Name)
			}
			serves := true
			for i, m := range q.Members {
				r := m.Request
				r.Choice.Only, r.Equal, r.Keep = names, 1e-9, 1
				one, err := Match(context.Background(), r)
				if err != nil || one.Blends[0].DeltaE00 > limits[i]-0.02 {
					serves = false
					break
				}
			}
			if serves {
				t.Errorf("seed %d: %v serves every shade with %d powders", seed, names, size)
			}
			advance(pick)
		}
	}
}

func TestRangeStops(t *testing.T) {
	p := drawer(t)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Range(ctx, rangeOf(p.Pigments, [3]float64{0, 3, 3}, 4)); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	if _, err := Range(context.Background(), RangeRequest{}); !errors.Is(err, ErrMembers) {
		t.Errorf("no members: %v", err)
	}
}
