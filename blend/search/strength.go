package search

import (
	"fmt"
	"math"

	"tawny/blend/palette"
	"tawny/colour"
)

// Sighting is a colour read of a batch as it stood.
type Sighting struct {
	Made  Made
	Seen  Seen
	Lab   colour.Lab // under Seen's viewing
	ByEye bool       // picked from a ladder, not read
	Error float64    // ΔE00, standard error of the reading; 0 means InstrumentError or EyeError
}

// Usual errors of a colour read of a batch, ΔE00, the putting on included
// (common practice: instruments repeat to 0.1 to 0.3 on one spot and to about
// half on another; eyes side by side tell about one).
const (
	InstrumentError = 0.5
	EyeError        = 1.0
)

// StrengthSpread is how far powders' strengths are thought to lie from what
// their data say before a batch has been read: a relative standard deviation of
// 15 %, that of an even spread over ± 25 %.
const StrengthSpread = 0.15

// Strength is how strong a powder turned out, against its data.
type Strength struct {
	Pigment *palette.Pigment
	Factor  float64 // 1 is as listed
}

// sightings is what has been seen of a batch, for one list of powders.
type sightings struct {
	powders []*palette.Pigment
	sights  []*sight
	lab     []colour.Lab
	metric  [][3][3]float64 // ΔE00² = dᵀMd near lab, over the reading's variance
}

// learn finds the strengths that explain what was seen: the least departure
// from 1, in standard deviations, that brings the predictions to the readings
// within their errors. It minimises
//
//	Σ ΔE00²/error² + Σ (ln strength)²/StrengthSpread²
//
// by Gauss–Newton with halved steps. A reading tells three numbers, so with
// more powders than that the likeliest of many explanations is taken, and the
// next reading sharpens it.
func (s *sightings) learn() ([]float64, error) {
	k := len(s.powders)
	theta, strength := make([]float64, k), make([]float64, k)
	cost := func(theta []float64) (float64, error) {
		sum := 0.0
		for i, t := range theta {
			strength[i] = math.Exp(t)
			sum += t * t / (StrengthSpread * StrengthSpread)
		}
		for j, v := range s.sights {
			lab, err := v.lab(strength)
			if err != nil {
				return 0, err
			}
			sum += quadratic(&s.metric[j], difference(lab, s.lab[j]))
		}
		return sum, nil
	}
	now, err := cost(theta)
	if err != nil {
		return nil, err
	}
	for range 30 {
		h, g := make([][]float64, k), make([]float64, k)
		for i := range h {
			h[i] = make([]float64, k)
			h[i][i] = 1 / (StrengthSpread * StrengthSpread)
			g[i] = theta[i] / (StrengthSpread * StrengthSpread)
		}
		for j, v := range s.sights {
			for i, t := range theta {
				strength[i] = math.Exp(t)
			}
			at, err := v.lab(strength)
			if err != nil {
				return nil, err
			}
			off := difference(at, s.lab[j])
			slope := make([][3]float64, k)
			const d = 1e-4
			for i := range k {
				was := strength[i]
				strength[i] = was * (1 + d)
				moved, err := v.lab(strength)
				if err != nil {
					return nil, err
				}
				strength[i] = was
				m := difference(moved, at)
				slope[i] = [3]float64{m[0] / d, m[1] / d, m[2] / d}
			}
			for i := range k {
				mi := times(&s.metric[j], slope[i])
				g[i] += mi[0]*off[0] + mi[1]*off[1] + mi[2]*off[2]
				for l := range k {
					h[i][l] += mi[0]*slope[l][0] + mi[1]*slope[l][1] + mi[2]*slope[l][2]
				}
			}
		}
		step := cholesky(h, g)
		moved := false
		for size := 1.0; size > 1e-4 && !moved; size /= 2 {
			next := make([]float64, k)
			for i := range next {
				next[i] = theta[i] - size*step[i]
			}
			c, err := cost(next)
			if err != nil {
				return nil, err
			}
			if c < now {
				moved = now-c > 1e-9*(1+now)
				theta, now = next, c
				break
			}
		}
		if !moved {
			break
		}
	}
	out := make([]float64, k)
	for i, t := range theta {
		out[i] = math.Exp(t)
	}
	return out, nil
}

func difference(a, b colour.Lab) [3]float64 { return [3]float64{a.L - b.L, a.A - b.A, a.B - b.B} }

func times(m *[3][3]float64, v [3]float64) (w [3]float64) {
	for i := range w {
		w[i] = m[i][0]*v[0] + m[i][1]*v[1] + m[i][2]*v[2]
	}
	return w
}

func quadratic(m *[3][3]float64, v [3]float64) float64 {
	w := times(m, v)
	return v[0]*w[0] + v[1]*w[1] + v[2]*w[2]
}

// cholesky solves h x = g for a positive definite h, which it overwrites.
func cholesky(h [][]float64, g []float64) []float64 {
	n := len(g)
	x := append([]float64(nil), g...)
	for i := range n {
		for j := range i + 1 {
			sum := h[i][j]
			for k := range j {
				sum -= h[i][k] * h[j][k]
			}
			if i == j {
				h[i][i] = math.Sqrt(sum)
			} else {
				h[i][j] = sum / h[j][j]
			}
		}
	}
	for i := range n {
		for k := range i {
			x[i] -= h[i][k] * x[k]
		}
		x[i] /= h[i][i]
	}
	for i := n - 1; i >= 0; i-- {
		for k := i + 1; k < n; k++ {
			x[i] -= h[k][i] * x[k]
		}
		x[i] /= h[i][i]
	}
	return x
}

// newSightings gathers what was seen of a batch of these powders.
func newSightings(r *Request, powders []*palette.Pigment, seen []Sighting) (*sightings, error) {
	s := &sightings{powders: powders}
	for n, one := range seen {
		if !one.Lab.Finite() {
			return nil, fmt.Errorf("reading %d: L*a*b* (%g, %g, %g); finite numbers are accepted", n+1, one.Lab.L, one.Lab.A, one.Lab.B)
		}
		sigma := one.Error
		switch {
		case sigma == 0 && one.ByEye:
			sigma = EyeError
		case sigma == 0:
			sigma = InstrumentError
		}
		if !(sigma > 0 && sigma <= 100) {
			return nil, fmt.Errorf("reading %d: an error of ΔE00 %g; more than 0 is accepted", n+1, sigma)
		}
		parts, err := one.Made.partsOf(powders)
		if err != nil {
			return nil, fmt.Errorf("reading %d: %w", n+1, err)
		}
		v, err := sightOf(r, one.Seen, parts)
		if err != nil {
			return nil, fmt.Errorf("reading %d: %w", n+1, err)
		}
		_, _, m := colour.DeltaE00Gradient(one.Lab, one.Lab)
		for i := range m {
			for j := range m {
				m[i][j] /= 2 * sigma * sigma
			}
		}
		s.sights, s.lab, s.metric = append(s.sights, v), append(s.lab, one.Lab), append(s.metric, m)
	}
	return s, nil
}
