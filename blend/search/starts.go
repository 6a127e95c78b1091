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
	sumLo, sumHi := 0.0, 0.0
	for _, k := range index {
		u := &p.powders[k]
		sumLo += u.lo
		sumHi += u.hi
	}
	if sumLo > p.sumHi+1e-12 || sumHi < p.sumLo-1e-12 {
		return x, false
	}
	// Half way up where the load may vary, else at the load; the least there
	// is, of the cheapest, where there is a cost ceiling.
	least := math.Max(p.sumLo, sumLo)
	if !math.IsInf(p.limitHi, 1) {
		p.fillCheapest(index, &x, least)
		return x, p.limitOf(index, &x) <= p.limitHi+1e-12
	}
	goal := p.sumLo
	if p.sumHi > p.sumLo {
		goal = math.Min(math.Max((p.sumLo+p.sumHi)/2, least), sumHi)
	}
	p.fillEvenly(index, &x, goal)
	return x, true
}

// starts fills from with other mixtures to start a subset at and returns how
// many: with the load free, an even one of a tenth of it and one of all of it,
// since a thin film and an opaque one may each be an optimum; with it fixed,
// an even one and one heaped on the powder that m, if not nil, has least of.
// Those over the cost ceiling are left out.
func (p *problem) starts(index []int, m *[MostParts]float64, from *[maxStarts][MostParts]float64) int {
	sumLo, sumHi := 0.0, 0.0
	for _, k := range index {
		sumLo += p.powders[k].lo
		sumHi += p.powders[k].hi
	}
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
			p.fillEvenly(index, &x, low+part*(high-low))
			add(&x)
		}
		return n
	}
	var even [MostParts]float64
	p.fillEvenly(index, &even, low)
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

// fillLower sets x to the lower bounds and returns what of goal is left.
func (p *problem) fillLower(index []int, x *[MostParts]float64, goal float64) (rest float64) {
	rest = goal
	for i, k := range index {
		x[i] = p.powders[k].lo
		rest -= x[i]
	}
	return rest
}

// fillEvenly sets x to the lower bounds and shares out the rest of goal as
// evenly as the upper ones allow.
func (p *problem) fillEvenly(index []int, x *[MostParts]float64, goal float64) {
	rest := p.fillLower(index, x, goal)
	for rest > hair {
		open := 0
		for i, k := range index {
			if p.powders[k].hi-x[i] > hair {
				open++
			}
		}
		if open == 0 {
			return
		}
		each := rest / float64(open)
		for i, k := range index {
			if room := p.powders[k].hi - x[i]; room > hair {
				add := math.Min(each, room)
				x[i] += add
				rest -= add
			}
		}
	}
}

// fillCheapest is fillEvenly with the cheapest powders filled first.
func (p *problem) fillCheapest(index []int, x *[MostParts]float64, goal float64) {
	rest := p.fillLower(index, x, goal)
	for rest > hair {
		cheapest := -1
		for i, k := range index {
			u := &p.powders[k]
			if u.hi-x[i] > hair && (cheapest < 0 || u.limited < p.powders[index[cheapest]].limited) {
				cheapest = i
			}
		}
		if cheapest < 0 {
			return
		}
		add := math.Min(rest, p.powders[index[cheapest]].hi-x[cheapest])
		x[cheapest] += add
		rest -= add
	}
}
