package search

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"tawny/blend/film"
	"tawny/blend/palette"
	"testing"

	"pgregory.net/rapid"
)

// Whatever a maker chooses, every blend keeps to it, and none of many random
// mixtures that keep to it too comes nearer the target.
func TestMatchKeepsChoices(t *testing.T) {
	p := drawer(t)
	outer := t
	refused := 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 41))
		r := forwardCase(outer, p, rng.Uint64()%500).nudged(rng, 2)
		r.Powders = nil
		for _, i := range rng.Perm(len(p.Pigments))[:9] {
			g := *p.Pigments[i]
			g.StockG = rapid.SampledFrom([]float64{0, 0.5, 2, 60}).Draw(t, "stock")
			r.Powders = append(r.Powders, &g)
		}
		name := func(i int) string { return r.Powders[i].Name }
		r.Most, r.Keep, r.Equal = rapid.IntRange(1, 4).Draw(t, "most"), 12, 1e-9
		if rapid.Bool().Draw(t, "free load") {
			r.LoadLo = r.LoadHi * rapid.SampledFrom([]float64{0, 0.3, 0.9}).Draw(t, "least")
		}
		c := &r.Choice
		if rapid.Bool().Draw(t, "must") {
			c.Must = []string{strings.ToUpper(name(0))} // case does not matter
		}
		if rapid.Bool().Draw(t, "without") {
			c.Without = []string{name(1), name(2)}
		}
		if rapid.IntRange(0, 2).Draw(t, "only") == 0 {
			c.Only = []string{name(3), name(4), name(5), name(6)}
		}
		if rapid.Bool().Draw(t, "limits") {
			c.Limits = map[string]Limit{
				name(3): {AtMost: r.LoadHi * rapid.Float64Range(0.05, 1).Draw(t, "at most")},
				name(4): {AtLeast: r.LoadHi * rapid.SampledFrom([]float64{0, 0.2, 0.6}).Draw(t, "at least")},
			}
		}
		if rapid.Bool().Draw(t, "area") {
			c.Area = rapid.SampledFrom([]palette.Area{palette.Body, palette.Eyes, palette.Lips}).Draw(t, "where")
		}
		if rapid.Bool().Draw(t, "in stock") {
			c.InStock = rapid.SampledFrom([]float64{20, 200, 2000}).Draw(t, "batch")
		}
		if rapid.Bool().Draw(t, "ceiling") {
			c.CostPer100 = r.LoadHi * rapid.SampledFrom([]float64{0.06, 0.1, 0.14}).Draw(t, "cost")
		}
		res, err := Match(context.Background(), r)
		if err == errBare {
			return
		}
		best := math.Inf(1)
		if err != nil {
			refused++
		} else {
			best = res.Blends[0].Objective
			for bi, b := range res.Blends {
				if why := breaks(&r, b.Parts); why != "" {
					t.Fatalf("blend %d, %s: %v; %+v", bi+1, why, amounts(b.Parts), r.Choice)
				}
			}
			last := 0
			for i, b := range res.Front {
				if n := len(b.Parts); n <= last || i > 0 && b.DeltaE00 >= res.Front[i-1].DeltaE00 {
					t.Fatalf("front: %d powders ΔE00 %.4f after %d", n, b.DeltaE00, last)
				}
				last = len(b.Parts)
			}
		}
		for range 300 {
			parts := randomBlend(rng, &r)
			if breaks(&r, parts) != "" {
				continue
			}
			if err != nil {
				t.Fatalf("refused (%v), but %v keeps to everything", err, amounts(parts))
			}
			g, gerr := NewMixture(r, parts)
			if gerr != nil {
				t.Fatal(gerr)
			}
			at := Percents(parts)
			if f := g.Objective(at); math.Sqrt(f) < math.Sqrt(best)-1e-3 {
				t.Fatalf("√f %.4f, but %v has %.4f", math.Sqrt(best), amounts(parts), math.Sqrt(f))
			}
		}
	})
	t.Logf("%d requests could not be met", refused)
}

func amounts(parts []film.Part) (list []any) {
	for _, p := range parts {
		list = append(list, p.Pigment.Name, p.Percent)
	}
	return list
}

// randomBlend draws amounts that have a fair chance of keeping to the request.
func randomBlend(rng *rand.Rand, r *Request) []film.Part {
	n := 1 + rng.IntN(r.Most)
	load := r.LoadLo + (r.LoadHi-r.LoadLo)*rng.Float64()
	var parts []film.Part
	sum := 0.0
	for _, i := range rng.Perm(len(r.Powders))[:n] {
		x := rng.ExpFloat64()
		sum += x
		parts = append(parts, film.Part{Pigment: r.Powders[i], Percent: x})
	}
	for i := range parts {
		parts[i].Percent *= load / sum
	}
	return parts
}

// breaks says which of the request's choices the parts break, or "". It is
// written from what a maker means, not from how the search goes about it.
func breaks(r *Request, parts []film.Part) string {
	const hair = 1e-9
	has := map[string]float64{}
	load, cost := 0.0, 0.0
	in := func(list []string, name string) bool {
		return slices.ContainsFunc(list, func(s string) bool { return strings.EqualFold(s, name) })
	}
	for _, p := range parts {
		g := p.Pigment
		has[strings.ToLower(g.Name)] = p.Percent
		load += p.Percent
		cost += p.Percent * g.PricePerG
		l := r.Choice.Limits[g.Name]
		switch {
		case in(r.Choice.Without, g.Name):
			return g.Name + " was left out"
		case len(r.Choice.Only) > 0 && !in(r.Choice.Only, g.Name) && !in(r.Choice.Must, g.Name) && l.AtLeast == 0:
			return g.Name + " is not among the only ones"
		case l.AtMost > 0 && p.Percent > l.AtMost+hair:
			return g.Name + " is over its limit"
		case r.Choice.Area != "" && !g.AllowedOn(r.Choice.Area):
			return g.Name + " is not allowed there"
		case r.Choice.InStock > 0 && p.Percent*r.Choice.InStock/100 > g.StockG+hair:
			return g.Name + " is not in stock"
		}
	}
	for _, must := range r.Choice.Must {
		if has[strings.ToLower(must)] < math.Min(MustPercent, 0.05*r.LoadHi)-hair {
			return must + " must be used"
		}
	}
	for name, l := range r.Choice.Limits {
		if has[strings.ToLower(name)] < l.AtLeast-hair {
			return name + " is under its least"
		}
	}
	switch {
	case load < r.LoadLo-hair || load > r.LoadHi+hair:
		return "load"
	case r.Choice.CostPer100 > 0 && cost > r.Choice.CostPer100+hair:
		return "cost"
	case len(parts) > r.Most:
		return "too many powders"
	}
	return ""
}

// A limit written for a powder that must be used is the least of it.
func TestMustBeUsed(t *testing.T) {
	p := drawer(t)
	r := forwardCase(t, p, 11).request
	r.Choice.Must = []string{"blue gleam"}
	for _, b := range mustMatch(t, r).Blends {
		i := slices.IndexFunc(b.Parts, func(p film.Part) bool { return p.Pigment.Name == "blue gleam" })
		if i < 0 || b.Parts[i].Percent < MustPercent-1e-9 {
			t.Errorf("blue gleam must be used: %v", amounts(b.Parts))
		}
	}
	r.Choice.Limits = map[string]Limit{"Blue Gleam": {AtMost: 0.04}}
	for _, b := range mustMatch(t, r).Blends {
		i := slices.IndexFunc(b.Parts, func(p film.Part) bool { return p.Pigment.Name == "blue gleam" })
		if i < 0 || math.Abs(b.Parts[i].Percent-0.04) > 1e-9 {
			t.Errorf("blue gleam must be used and at most 0.04 %%: %v", amounts(b.Parts))
		}
	}
}

// Blends that count as equal come by fewer powders, then smaller shift between
// lights, then lower cost, each to the digits a screen shows; the others by how
// near they are.
func TestRankOrder(t *testing.T) {
	p := drawer(t)
	equals := 0
	for seed := range uint64(10) {
		f := forwardCase(t, p, 1200+seed)
		r := f.request
		r.Keep, r.Powders = 60, f.some(rand.New(rand.NewPCG(seed, 7)), 22)
		if seed%2 == 0 {
			r.LoadLo = 0
		}
		blends := mustMatch(t, r).Blends
		for i := 1; i < len(blends); i++ {
			a, b := &blends[i-1], &blends[i]
			near := [2]bool{a.DeltaE00 <= EqualDeltaE, b.DeltaE00 <= EqualDeltaE}
			const digit = 0.0101
			switch {
			case !near[0] && near[1]:
				t.Errorf("seed %d: ΔE00 %.3f stands before %.3f", seed, a.DeltaE00, b.DeltaE00)
			case !near[0]:
				if a.DeltaE00 > b.DeltaE00+1e-4 {
					t.Errorf("seed %d: ΔE00 %.4f stands before %.4f", seed, a.DeltaE00, b.DeltaE00)
				}
			case !near[1]:
			case len(a.Parts) != len(b.Parts):
				if len(a.Parts) > len(b.Parts) {
					t.Errorf("seed %d: %d powders stand before %d", seed, len(a.Parts), len(b.Parts))
				}
			case a.Shift > b.Shift+digit:
				t.Errorf("seed %d: shift %.3f stands before %.3f", seed, a.Shift, b.Shift)
			case math.Round(a.Shift*100) == math.Round(b.Shift*100) && a.CostPer100 > b.CostPer100+digit:
				t.Errorf("seed %d: at a shift of %.3f and %.3f, cost %.3f stands before %.3f", seed, a.Shift, b.Shift, a.CostPer100, b.CostPer100)
			default:
				equals++
			}
		}
	}
	t.Logf("%d pairs of equals in order", equals)
	if equals < 100 {
		t.Errorf("only %d pairs of equals", equals)
	}
}

// Of equal blends those of most flakes of a family asked for come first.
func TestFamilyAskedForIsFirst(t *testing.T) {
	behind := 0
	for seed := range uint64(3) {
		f := forwardCase(t, drawer(t), 1300+seed)
		r := f.request
		r.Keep, r.Equal, r.Family = 40, 2, "GOLD"
		r.Powders = f.some(rand.New(rand.NewPCG(seed, 7)), 12)
		other := false
		for i, b := range mustMatch(t, r).Blends {
			if b.DeltaE00 > r.Equal {
				break
			}
			var most leading
			for _, part := range b.Parts {
				most.meet(part.Pigment, part.Percent)
			}
			if most.family == "gold" && other {
				t.Errorf("seed %d: blend %d is gold, behind others", seed, i)
			}
			if most.family != "gold" {
				if !other && i > 0 {
					behind++
				}
				other = true
			}
		}
	}
	if behind == 0 {
		t.Error("no gold before others: nothing was tested")
	}
}
