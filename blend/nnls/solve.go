package nnls

import "math"

// bound says which of its bounds holds a variable.
type bound uint8

const (
	free bound = iota
	atLo
	atHi
)

// The linear bounds stand after the variables where one of either is named.
const (
	onSum = Most + iota
	onCost
	nothing
)

const (
	mostSteps = 400
	epsilon   = 0x1p-52
)

// walk is the way from 0 to the answer.
type walk struct {
	p           *Problem
	x           *Vector
	slope, size Vector // Hx + g, and the size of the numbers that made it
	state       [Most]bound
	sum, cost   bool // held
	sumHigh     bool // the total is held at its upper bound
	mu          Multipliers
}

// Solve fills x with a minimiser. After an error x is feasible still, and no
// worse than 0, unless the numbers are not finite.
func (p *Problem) Solve(x *Vector) (Multipliers, error) {
	*x = Vector{}
	if err := p.check(); err != nil {
		return Multipliers{}, err
	}
	w := walk{p: p, x: x}
	w.begin()
	for range mostSteps {
		w.gradient()
		y := w.face()
		if stop := w.advance(&y); stop != nothing {
			w.hold(stop, y[min(stop, Most-1)] > 0)
			continue
		}
		w.gradient()
		leave := w.worst()
		if leave == nothing {
			if !finite(w.mu.Sum) || !finite(w.mu.Cost) {
				return w.mu, ErrNotFinite
			}
			return w.mu, nil
		}
		w.release(leave)
	}
	return w.mu, ErrSteps
}

// begin says what holds at 0.
func (w *walk) begin() {
	p := w.p
	for i := range p.N {
		switch {
		case p.Lo[i] == 0:
			w.state[i] = atLo
		case p.Hi[i] == 0:
			w.state[i] = atHi
		}
	}
	w.sum, w.sumHigh = p.SumHi == 0 || p.SumLo == 0, p.SumHi == 0
	w.cost = p.CostHi == 0
}

// gradient fills slope and size at x.
func (w *walk) gradient() {
	p := w.p
	for i := range p.N {
		s, size := p.G[i], math.Abs(p.G[i])
		for j := range p.N {
			t := p.H[i][j] * w.x[j]
			s += t
			size += math.Abs(t)
		}
		w.slope[i], w.size[i] = s, size
	}
}

// advance goes along y as far as the bounds let it and returns what stopped
// it.
func (w *walk) advance(y *Vector) (stop int) {
	p := w.p
	along, stop := 1.0, nothing
	sumX, sumY, costX, costY, most, far := 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
	for i := range p.N {
		sumX += w.x[i]
		costX += p.Cost[i] * w.x[i]
		far = max(far, math.Abs(w.x[i]))
		if y[i] == 0 {
			continue
		}
		sumY += y[i]
		costY += p.Cost[i] * y[i]
		most = max(most, math.Abs(y[i]))
		edge := p.Hi[i]
		if y[i] < 0 {
			edge = p.Lo[i]
		}
		if a := (edge - w.x[i]) / y[i]; a < along {
			along, stop = a, i
		}
	}
	if !(most > epsilon*far) {
		return nothing
	}
	if !w.sum && math.Abs(sumY) > epsilon*most {
		edge := p.SumHi
		if sumY < 0 {
			edge = p.SumLo
		}
		if a := (edge - sumX) / sumY; a < along {
			along, stop = a, onSum
			w.sumHigh = sumY > 0
		}
	}
	if !w.cost && costY > epsilon*most {
		if a := (p.CostHi - costX) / costY; a < along {
			along, stop = a, onCost
		}
	}
	along = max(along, 0)
	for i := range p.N {
		w.x[i] += along * y[i]
	}
	return stop
}

// hold makes what stopped a step part of the face.
func (w *walk) hold(stop int, up bool) {
	switch {
	case stop == onSum:
		w.sum = true
	case stop == onCost:
		w.cost = true
	case up:
		w.state[stop], w.x[stop] = atHi, w.p.Hi[stop]
	default:
		w.state[stop], w.x[stop] = atLo, w.p.Lo[stop]
	}
}

func (w *walk) release(leave int) {
	switch leave {
	case onSum:
		w.sum = false
	case onCost:
		w.cost = false
	default:
		w.state[leave] = free
	}
}

// worst returns the bound whose release lowers the value most steeply beyond
// rounding, or nothing. Where several bounds meet in a point, steps of no length
// could go round in a circle; 20 million small problems full of such points took 20
// steps at most.
func (w *walk) worst() int {
	p := w.p
	// The multipliers carry the rounding of every number.
	size := math.Abs(w.mu.Sum)
	for i := range p.N {
		size = max(size, w.size[i], math.Abs(w.mu.Cost*p.Cost[i]))
	}
	most, leave := 16*epsilon*size, nothing
	try := func(gain float64, what int) {
		if gain > most {
			most, leave = gain, what
		}
	}
	for i := range p.N {
		if w.state[i] == free || p.Hi[i] <= p.Lo[i] {
			continue
		}
		gain := w.mu.Sum + w.mu.Cost*p.Cost[i] - w.slope[i]
		if w.state[i] == atHi {
			gain = -gain
		}
		try(gain, i)
	}
	if w.sum && p.SumLo != p.SumHi {
		gain := w.mu.Sum
		if !w.sumHigh {
			gain = -gain
		}
		try(gain, onSum)
	}
	if w.cost {
		try(w.mu.Cost, onCost)
	}
	return leave
}
