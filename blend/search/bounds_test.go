package search

import (
	"math"
	"math/rand/v2"
	"testing"
)

// bounded is a random problem of bounds alone, and a subset of its powders.
func bounded(rng *rand.Rand) (p *problem, index []int) {
	p = &problem{sumLo: 1, sumHi: 1, limitHi: math.Inf(1)}
	if rng.IntN(2) == 0 {
		p.sumLo = rng.Float64()
	}
	if rng.IntN(2) == 0 {
		p.limitHi = rng.Float64()
	}
	for range 6 {
		u := powder{hi: 1, limited: rng.Float64()}
		if rng.IntN(2) == 0 {
			u.lo = 0.3 * rng.Float64()
		}
		if rng.IntN(2) == 0 {
			u.hi = u.lo + (1-u.lo)*rng.Float64()
		}
		p.powders = append(p.powders, u)
	}
	return p, rng.Perm(len(p.powders))[:1+rng.IntN(4)]
}

const tiny = 1e-12

// sumWithin is the sum of a mixture, and whether each share is within its bounds.
func (p *problem) sumWithin(index []int, x *[MostParts]float64) (sum float64, within bool) {
	within = true
	for i, k := range index {
		sum += x[i]
		within = within && x[i] >= p.powders[k].lo-tiny && x[i] <= p.powders[k].hi+tiny
	}
	return sum, within
}

// even reports whether no powder that may have more has less over its least than
// another.
func (p *problem) even(index []int, x *[MostParts]float64) bool {
	for i, k := range index {
		for j, l := range index {
			if x[i] < p.powders[k].hi-tiny && x[i]-p.powders[k].lo < x[j]-p.powders[l].lo-tiny {
				return false
			}
		}
	}
	return true
}

// Where a subset's walk begins is within every bound wherever anything is: even
// with half of the load there is room for, or the least of the cheapest under a
// ceiling.
func TestFeasible(t *testing.T) {
	for seed := range uint64(2000) {
		p, index := bounded(rand.New(rand.NewPCG(seed, 71)))
		least, most := p.span(index)
		x, ok := p.feasible(index)
		possible := least <= 1 && most >= p.sumLo
		ceiling := !math.IsInf(p.limitHi, 1)
		if ok && !possible || !ok && possible && !ceiling {
			t.Errorf("seed %d: of %g to %g for a load from %g: %t", seed, least, most, p.sumLo, ok)
		}
		if !possible {
			continue
		}
		want := math.Min(math.Max((p.sumLo+1)/2, least), most)
		if p.sumLo == 1 {
			want = 1
		}
		if ceiling {
			want = math.Max(p.sumLo, least)
			if ok != (p.limitOf(index, &x) <= p.limitHi) {
				t.Errorf("seed %d: %g under a ceiling of %g: %t", seed, p.limitOf(index, &x), p.limitHi, ok)
			}
			for i, k := range index {
				for j, l := range index {
					a, b := p.powders[k], p.powders[l]
					if a.limited < b.limited && x[i] < a.hi-tiny && x[j] > b.lo+tiny {
						t.Errorf("seed %d: %v has more than the least of a dearer one", seed, x)
					}
				}
			}
		} else if !p.even(index, &x) {
			t.Errorf("seed %d: %v is not even", seed, x)
		}
		if sum, within := p.sumWithin(index, &x); !within || math.Abs(sum-want) > tiny {
			t.Errorf("seed %d: %v, sum %g, want %g", seed, x, sum, want)
		}
	}
}

// Other starts are within every bound too: an even tenth and all of a free load, or
// an even one and one with most of what can be moved on the powder that has least.
func TestStarts(t *testing.T) {
	heaps := 0
	for seed := range uint64(2000) {
		rng := rand.New(rand.NewPCG(seed, 72))
		p, index := bounded(rng)
		least, most := p.span(index)
		low, high := math.Max(p.sumLo, least), math.Min(1, most)
		var m *[MostParts]float64
		scarce := 0
		if rng.IntN(2) == 0 {
			m = &[MostParts]float64{}
			for i := range index {
				if m[i] = rng.Float64(); m[i] < m[scarce] {
					scarce = i
				}
			}
		}
		var from [maxStarts][MostParts]float64
		n := p.starts(index, m, &from)
		if low > high {
			if n != 0 {
				t.Errorf("seed %d: %d starts of none", seed, n)
			}
			continue
		}
		for _, x := range from[:n] {
			if _, within := p.sumWithin(index, &x); !within || p.limitOf(index, &x) > p.limitHi {
				t.Errorf("seed %d: %v is out of bounds", seed, x)
			}
		}
		if !math.IsInf(p.limitHi, 1) {
			continue
		}
		first, _ := p.sumWithin(index, &from[0])
		second, _ := p.sumWithin(index, &from[1])
		if high > low {
			if n != 2 || math.Abs(first-low-0.1*(high-low)) > tiny || math.Abs(second-high) > tiny || !p.even(index, &from[0]) || !p.even(index, &from[1]) {
				t.Errorf("seed %d: %v of %g to %g", seed, from[:n], low, high)
			}
			continue
		}
		even, heaped := &from[0], &from[1]
		spare := 0.0
		for i, k := range index {
			if i != scarce {
				spare += even[i] - p.powders[k].lo
			}
		}
		moved := 0.8 * math.Min(p.powders[index[scarce]].hi-even[scarce], spare)
		if n < 1 || math.Abs(first-low) > tiny || !p.even(index, even) || (n == 2) != (moved > 0) {
			t.Errorf("seed %d: %d starts, %v, with %g to move", seed, n, from[:n], moved)
		}
		if n < 2 {
			continue
		}
		heaps++
		for i, k := range index {
			over := even[i] - p.powders[k].lo
			want := p.powders[k].lo + over*(1-moved/spare)
			if i == scarce {
				want = even[i] + moved
			}
			if math.Abs(heaped[i]-want) > 1e-9 {
				t.Errorf("seed %d: %v of %v heaped on %d", seed, heaped, even, scarce)
			}
		}
	}
	if heaps < 100 {
		t.Errorf("%d heaped", heaps)
	}
}

// A mixture joined by more powders stays as it is where there is room for their
// least, else all make room alike; what rounding left of a load goes where there is
// room for it.
func TestJoined(t *testing.T) {
	made, moved := 0, 0
	for seed := range uint64(3000) {
		rng := rand.New(rand.NewPCG(seed, 73))
		p, index := bounded(rng)
		if len(index) < 2 {
			continue
		}
		facet := index[1:]
		x, ok := randomMixture(rng, p, facet)
		if _, within := p.sumWithin(facet, &x); !ok || !within {
			continue
		}
		m := found{n: len(facet), x: x}
		for i, k := range facet {
			m.index[i] = uint16(k)
		}
		sum, _ := p.sumWithin(facet, &x)
		y, ok := p.joined(&m, index)
		if !ok {
			continue
		}
		made++
		after, within := p.sumWithin(index, &y)
		if !within || after < p.sumLo-tiny || after > 1+tiny || p.limitOf(index, &y) > p.limitHi+tiny {
			t.Errorf("seed %d: %v joined to %v, sum %g", seed, x, y, after)
		}
		lo := p.powders[index[0]].lo
		over := 0.0
		for i, k := range facet {
			over += x[i] - p.powders[k].lo
		}
		give := math.Max(0, sum+lo-1)
		if give > over || p.limitOf(index, &y) > p.limitHi || y[0] != lo {
			continue // begun elsewhere
		}
		want := [MostParts]float64{lo}
		for i, k := range facet {
			want[i+1] = x[i]
			if give > 0 {
				want[i+1] -= give * (x[i] - p.powders[k].lo) / over
			}
		}
		if p.limitOf(index, &want) > p.limitHi {
			continue
		}
		moved++
		for i := range want {
			if math.Abs(y[i]-want[i]) > 1e-9 {
				t.Errorf("seed %d: %v joined to %v, want %v", seed, x, y, want)
			}
		}
	}
	if made < 300 || moved < 200 {
		t.Errorf("%d joined, %d of them to what was there", made, moved)
	}
	loads := 0
	for seed := range uint64(300) {
		rng := rand.New(rand.NewPCG(seed, 74))
		p, index := bounded(rng)
		p.sumLo, p.limitHi = 1, math.Inf(1)
		x, ok := randomMixture(rng, p, index)
		least, most := p.span(index)
		if !ok || least > 1-1e-6 || most < 1+1e-6 {
			continue
		}
		m := found{n: len(index), x: x}
		widest := 0
		by := 1e-9 * (rng.Float64() - 0.5)
		room := func(i int) float64 {
			u := p.powders[index[i]]
			if by < 0 {
				return u.hi - x[i]
			}
			return x[i] - u.lo
		}
		for i, k := range index {
			m.index[i] = uint16(k)
			if room(i) > room(widest) {
				widest = i
			}
		}
		loads++
		m.x[rng.IntN(len(index))] += by
		was := m.x
		p.exactLoad(&m)
		sum, _ := p.sumWithin(index, &m.x)
		if math.Abs(sum-1) > 1e-15 {
			t.Errorf("seed %d: the load is %.17g", seed, sum)
		}
		for i := range index {
			if (m.x[i] != was[i]) != (i == widest) {
				t.Errorf("seed %d: %v of %v, most room has %d", seed, m.x, was, widest)
			}
		}
	}
	if loads < 50 {
		t.Errorf("%d loads", loads)
	}
}

// Shares are brought to a sum within their bounds where there is room.
func TestRepair(t *testing.T) {
	for seed := range uint64(500) {
		rng := rand.New(rand.NewPCG(seed, 75))
		p, index := bounded(rng)
		var x [MostParts]float64
		for i, k := range index {
			x[i] = p.powders[k].lo + rng.Float64()*(p.powders[k].hi-p.powders[k].lo)
		}
		least, most := p.span(index)
		want := 1.2 * rng.Float64()
		y, ok := p.repair(index, x, want)
		if ok != (want > least && want < most) {
			t.Errorf("seed %d: %g of %g to %g: %t", seed, want, least, most, ok)
		}
		if sum, within := p.sumWithin(index, &y); ok && (!within || math.Abs(sum-want) > 1e-9) {
			t.Errorf("seed %d: %v, sum %g, want %g", seed, y, sum, want)
		}
	}
}

// A member of a family is within the bounds of its powders, of the load and of what is
// limited.
func TestInside(t *testing.T) {
	counts := map[bool]int{}
	for seed := range uint64(2000) {
		rng := rand.New(rand.NewPCG(seed, 76))
		p, index := bounded(rng)
		x, _ := randomMixture(rng, p, index)
		x[rng.IntN(len(index))] += 0.05 * rng.NormFloat64()
		f := &family{p: p, e: &evaluator{p: p, n: len(index)}}
		for i, k := range index {
			f.e.use[i] = &p.powders[k]
		}
		sum, within := p.sumWithin(index, &x)
		limited := p.limitOf(index, &x)
		if math.Abs(sum-1) < tiny || math.Abs(sum-p.sumLo) < tiny || math.Abs(limited-p.limitHi) < tiny {
			continue
		}
		want := within && sum >= p.sumLo && sum <= 1 && limited <= p.limitHi
		for i, k := range index {
			want = want && x[i] >= p.powders[k].lo && x[i] <= p.powders[k].hi
		}
		counts[want]++
		if f.inside(&x) != want {
			t.Errorf("seed %d: %v, sum %g from %g, limited %g to %g: inside is %t", seed, x, sum, p.sumLo, limited, p.limitHi, !want)
		}
	}
	if counts[true] < 200 || counts[false] < 200 {
		t.Errorf("inside and not: %v", counts)
	}
}
