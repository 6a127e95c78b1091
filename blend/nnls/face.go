package nnls

import "math"

// dependentSquare is the share of a column's square that must be left outside
// the span of the others: some hundreds of roundings, so that what is left is
// a number and not noise.
const dependentSquare = 1e-13

// face returns the step to the minimiser over the free variables with the held
// linear bounds kept, and sets their multipliers. A variable that depends on
// other free ones has nothing to add and stays.
func (w *walk) face() (y Vector) {
	p := w.p
	var index [Most]int
	n := 0
	for i := range p.N {
		if w.state[i] == free {
			index[n] = i
			n++
		}
	}
	// With the total held, one free variable is minus the sum of the others.
	// Taking the shortest column keeps the others' differences from it apart.
	r := -1
	if w.sum && n > 0 {
		least := 0
		for a := 1; a < n; a++ {
			if p.H[index[a]][index[a]] < p.H[index[least]][index[least]] {
				least = a
			}
		}
		n--
		r, index[least] = index[least], index[n]
	}
	// With the cost held, another follows from the rest: the one whose price
	// stands out most. Where no price does, the ceiling says nothing of its own.
	s := -1
	var part [Most]float64 // of it for one of each other, less the sum's
	if w.cost && n > 0 {
		steep := 0
		for a := range n {
			part[a] = p.Cost[index[a]]
			if r >= 0 {
				part[a] -= p.Cost[r]
			}
			if math.Abs(part[a]) > math.Abs(part[steep]) {
				steep = a
			}
		}
		if pivot := part[steep]; pivot != 0 {
			n--
			s = index[steep]
			index[steep], part[steep] = index[n], part[n]
			for a := range n {
				part[a] /= pivot
			}
		}
	}
	w.solveReduced(&y, index[:n], part[:n], r, s)
	w.mu = Multipliers{}
	at := func(i int) float64 {
		v := w.slope[i]
		for j := range p.N {
			v += p.H[i][j] * y[j]
		}
		return v
	}
	switch {
	case r >= 0 && s >= 0:
		vr := at(r)
		w.mu.Cost = (at(s) - vr) / (p.Cost[s] - p.Cost[r])
		w.mu.Sum = vr - w.mu.Cost*p.Cost[r]
	case r >= 0:
		w.mu.Sum = at(r)
	case s >= 0:
		w.mu.Cost = at(s) / p.Cost[s]
	}
	return y
}

// solveReduced minimises over the variables of index by LDLᵀ, r and s (−1 for
// none) following from them: a unit of index[a] takes part[a] of s, and of r
// what keeps the total.
func (w *walk) solveReduced(y *Vector, index []int, part []float64, r, s int) {
	p := w.p
	// ofR and ofS are the moves that a unit of index[a] makes in r and s: 0
	// where there is none, whose number then does not matter.
	var ofR, ofS [Most]float64
	for a := range index {
		ofS[a] = -part[a]
		if r >= 0 {
			ofR[a] = -1 - ofS[a]
		}
	}
	r, s = max(r, 0), max(s, 0)
	var m [Most]Vector // L below the diagonal, D on it; D is 0 for dependent ones
	var z Vector
	for a, i := range index {
		aR, aS := ofR[a], ofS[a]
		v := -w.slope[i] - aR*w.slope[r] - aS*w.slope[s]
		full := p.H[i][i] + aR*aR*p.H[r][r] + aS*aS*p.H[s][s]
		for b, j := range index[:a+1] {
			bR, bS := ofR[b], ofS[b]
			t := p.H[i][j] +
				bR*p.H[i][r] + aR*p.H[r][j] + aR*bR*p.H[r][r] +
				bS*p.H[i][s] + aS*p.H[s][j] + aS*bS*p.H[s][s] +
				(aR*bS+aS*bR)*p.H[r][s]
			for e := range b {
				t -= m[a][e] * m[b][e] * m[e][e]
			}
			switch {
			case b == a && t > dependentSquare*full:
				m[a][a] = t
			case b < a && m[b][b] > 0:
				m[a][b] = t / m[b][b]
			}
		}
		for e := range a {
			v -= m[a][e] * z[e]
		}
		z[a] = v
	}
	for a := len(index) - 1; a >= 0; a-- {
		if m[a][a] == 0 {
			continue
		}
		v := z[a] / m[a][a]
		for e := a + 1; e < len(index); e++ {
			v -= m[e][a] * y[index[e]]
		}
		y[index[a]] = v
		y[r] += ofR[a] * v
		y[s] += ofS[a] * v
	}
}
