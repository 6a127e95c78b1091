package mend

import (
	"context"
	"math"
	"math/bits"
	"math/rand/v2"
	"testing"

	"tawny/blend/palette"
	"tawny/blend/search"
)

// rangeCase is a range of shades made by the forward model from n powders.
func rangeCase(t *testing.T, seed uint64, members, n int) RangeRequest {
	t.Helper()
	p := drawer(t)
	rng := rand.New(rand.NewPCG(seed, 91))
	q := RangeRequest{Within: 0.4}
	var powders []*palette.Pigment
	for _, i := range rng.Perm(len(p.Pigments))[:n] {
		powders = append(powders, p.Pigments[i])
	}
	for i := range members {
		r := forwardCase(t, p, 1000*seed+uint64(i)).request
		// The target moved off what any blend gives exactly.
		at := &r.Targets[0].Lab
		at.L, at.A, at.B = at.L+0.5*rng.NormFloat64(), at.A+0.5*rng.NormFloat64(), at.B+0.5*rng.NormFloat64()
		r.Powders, r.LoadLo, r.Apply = powders, r.LoadHi/3, 1
		q.Members = append(q.Members, Member{Name: string(rune('a' + i)), Request: r})
	}
	return q
}

// The set is as small as any: against trying every smaller set of nine powders
// with a match of its own for every shade.
func TestRangeIsSmallest(t *testing.T) {
	for seed := range uint64(3) {
		q := rangeCase(t, seed, 3, 9)
		got, err := Range(t.Context(), q)
		if err != nil {
			t.Fatal(err)
		}
		limit := make([]float64, len(q.Members))
		for i, m := range q.Members {
			m.Request.Equal = 1e-9
			alone := mustMatch(t, m.Request).Blends[0].DeltaE00
			limit[i] = math.Max(q.Within, alone+rangeSlack)
			if s := got.Shades[i]; math.Abs(s.Nearest-alone) > 1e-3 || s.Blend.DeltaE00 > limit[i]+1e-3 || s.Reached != (s.Blend.DeltaE00 <= q.Within) {
				t.Errorf("seed %d, shade %s: ΔE00 %.3f (reached %v), alone %.3f, told %.3f", seed, s.Name, s.Blend.DeltaE00, s.Reached, alone, s.Nearest)
			}
			for _, part := range got.Shades[i].Blend.Parts {
				in := false
				for _, g := range got.Powders {
					in = in || g == part.Pigment
				}
				if !in {
					t.Errorf("seed %d: %s is not in the set", seed, part.Pigment.Name)
				}
			}
		}
		powders := q.Members[0].Request.Powders
		size := len(got.Powders) - 1
		for pick := range uint(1) << len(powders) {
			if bits.OnesCount(pick) != size {
				continue
			}
			var names []string
			for i, g := range powders {
				if pick>>i&1 == 1 {
					names = append(names, g.Name)
				}
			}
			makes := 0
			for i, m := range q.Members {
				m.Request.Equal, m.Request.Keep, m.Request.Workers = 1e-9, 1, 1
				m.Request.Choice.Only = names
				if res, err := search.Match(t.Context(), m.Request); err != nil || res.Blends[0].DeltaE00 > limit[i]-1e-3 {
					break
				}
				makes++
			}
			if makes == len(q.Members) {
				t.Errorf("seed %d: %d powders returned, but %v make every shade", seed, len(got.Powders), names)
			}
		}
		t.Logf("seed %d: %d shades from %d powders; %d sets of that size", seed, len(q.Members), len(got.Powders), got.Sets)
	}
}

// Progress rises to 1, and a cancelled range gives nothing.
func TestRangeProgress(t *testing.T) {
	q := rangeCase(t, 7, 4, 12)
	last := 0.0
	q.Progress = func(done float64) {
		if done < last {
			t.Errorf("progress fell from %g to %g", last, done)
		}
		last = done
	}
	if _, err := Range(t.Context(), q); err != nil || last != 1 {
		t.Errorf("progress ended at %g, %v", last, err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	q.Progress = func(done float64) { cancel() }
	if got, err := Range(ctx, q); err != context.Canceled || got != nil {
		t.Errorf("cancelled: %v, %v", got, err)
	}
}

func TestRangeRefuses(t *testing.T) {
	q := rangeCase(t, 8, 2, 6)
	for name, change := range map[string]func(*RangeRequest){
		"one shade":     func(q *RangeRequest) { q.Members = q.Members[:1] },
		"within NaN":    func(q *RangeRequest) { q.Within = math.NaN() },
		"no target":     func(q *RangeRequest) { q.Members[0].Request.Targets = nil },
		"other drawers": func(q *RangeRequest) { q.Members[1].Request.Powders = drawer(t).Pigments },
	} {
		bad := q
		bad.Members = append([]Member(nil), q.Members...)
		change(&bad)
		if _, err := Range(t.Context(), bad); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
