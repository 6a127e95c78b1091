package nnls

import "errors"

// Most is the most variables of a Problem: four free powders and the must-use
// ones beside them.
const Most = 8

// Vector holds one number for each variable; those past N are not used.
type Vector [Most]float64

// Problem is one bounded least squares problem; the zero value of N, H and G
// is no problem at all, and zero bounds allow only 0.
type Problem struct {
	N            int
	H            [Most]Vector // AᵀA, both triangles
	G            Vector       // −Aᵀb
	Lo, Hi       Vector       // each Lo ≤ 0 ≤ Hi; infinite for none
	SumLo, SumHi float64      // SumLo ≤ 0 ≤ SumHi; both 0 keep the total as it is
	Cost         Vector
	CostHi       float64 // 0 or more; +Inf for no ceiling
}

// Multipliers are the prices of the linear bounds at the answer: how the least
// value changes with the total and with the ceiling. A variable strictly
// inside its bounds has (Hx + g)_i = Sum + Cost·Cost_i.
type Multipliers struct{ Sum, Cost float64 }

// Errors a caller can tell apart with errors.Is.
var (
	ErrShape      = errors.New("nnls: 0 to 8 variables are accepted")
	ErrNotFinite  = errors.New("nnls: every number, and the answer, must be finite")
	ErrInfeasible = errors.New("nnls: the bounds must hold at 0")
	ErrSteps      = errors.New("nnls: no answer within the allowed steps")
)

func (p *Problem) check() error {
	if p.N < 0 || p.N > Most {
		return ErrShape
	}
	// Written so that NaN fails each of them.
	if !(p.SumLo <= 0 && p.SumHi >= 0 && p.CostHi >= 0) {
		return ErrInfeasible
	}
	for i := range p.N {
		if !(p.Lo[i] <= 0 && p.Hi[i] >= 0) {
			return ErrInfeasible
		}
		if !finite(p.G[i]) || !finite(p.H[i][i]) || !finite(p.Cost[i]) {
			return ErrNotFinite
		}
	}
	return nil
}

// finite is false for NaN and both infinities, whose difference with
// themselves is NaN.
func finite(x float64) bool { return x-x == 0 }
