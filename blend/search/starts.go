package search

import "math"

// maxStarts is the most mixtures a subset is started from beside the one it
// inherits.
const maxStarts = 2

// hair is a share that only rounding makes.
const hair = 1e-14

// feasible returns some mixture of the subset within all bounds, nearest the
// even one, or false where there is none.
func (p *problem) feasible(index []int) (x [MostParts]float64, ok bool) {
	sumLo, sumHi := p.span(index)
	if sumLo > p.sumHi+1e-12 || sumHi < p.sumLo-1e-12 {
		return x, false
	}
	// Half way up where the load may vary, else at the load; the least there
	// is, of the cheapest, where there is a cost ceiling.
	goal := math.Max(p.sumLo, sumLo)
	ceiling := !math.IsInf(p.limitHi, 1)
	if !ceiling {
		goal = math.Min(math.Max((p.sumLo+p.sumHi)/2, goal), sumHi)
	}
	p.fill(index, &x, goal, ceiling)
	return x, p.limitOf(index, &x) <= p.limitHi+1e-12
}

// starts fills from with other mixtures to start a subset at and returns how
// many: with the load free, an even one of a tenth of it and one of all of it,
// since a thin film and an opaque one may each be an optimum; with it fixed,
// an even one and one heaped on the powder that m, if not nil, has least of.
// Those over the cost ceiling are left out.
func (p *problem) starts(index []int, m *[MostParts]float64, from *[maxStarts][MostParts]float64) int {
	sumLo, sumHi := p.span(index)
	low, high := math.Max(p.sumLo, sumLo), math.Min(p.sumHi, sumHi)
	if low > high+1e-12 {
		return 0
	}
	n := 0
	add := func(x *[MostParts]float64) {
		if n < maxStarts && p.limitOf(index, x) <= p.limitHi {
			from[n] = *x
			n++
		}
	}
	if high > low {
		for _, part := range [...]float64{0.1, 1} {
			var x [MostParts]float64
			p.fill(index, &x, low+part*(high-low), false)
			add(&x)
		}
		return n
	}
	var even [MostParts]float64
	p.fill(index, &even, low, false)
	add(&even)
	least := 0
	for i := range index {
		if m != nil && m[i] < m[least] {
			least = i
		}
	}
	heaped := even
	room := p.powders[index[least]].hi - even[least]
	spare := 0.0
	for i, k := range index {
		if i != least {
			spare += even[i] - p.powders[k].lo
		}
	}
	if move := 0.8 * math.Min(room, spare); move > 0 {
		heaped[least] += move
		for i, k := range index {
			if i != least {
				heaped[i] -= move * (even[i] - p.powders[k].lo) / spare
			}
		}
		add(&heaped)
	}
	return n
}

func (p *problem) limitOf(index []int, x *[MostParts]float64) float64 {
	sum := 0.0
	for i, k := range index {
		sum += p.powders[k].limited * x[i]
	}
	return sum
}

// span is what the powders of a subset come to at their least and their most.
func (p *problem) span(index []int) (least, most float64) {
	for _, k := range index {
		least += p.powders[k].lo
		most += p.powders[k].hi
	}
	return least, most
}

// fill sets x to the lower bounds and shares out the rest of goal as evenly as the
// upper ones allow, among all or the cheapest first.
func (p *problem) fill(index []int, x *[MostParts]float64, goal float64, cheapestFirst bool) {
	rest := goal
	for i, k := range index {
		x[i] = p.powders[k].lo
		rest -= x[i]
	}
	for rest > hair {
		open, cheapest := 0.0, math.Inf(1)
		for i, k := range index {
			u := &p.powders[k]
			switch {
			case u.hi-x[i] <= hair || u.limited > cheapest:
			case u.limited < cheapest && cheapestFirst:
				open, cheapest = 1, u.limited
			default:
				open++
			}
		}
		if open == 0 {
			return
		}
		each := rest / open
		for i, k := range index {
			u := &p.powders[k]
			if room := u.hi - x[i]; room > hair && u.limited <= cheapest {
				add := math.Min(each, room)
				x[i] += add
				rest -= add
			}
		}
	}
}
