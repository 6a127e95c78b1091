package search

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"tawny/blend/film"
	"tawny/colour"
)

// Variation is what differs from one making and wearing of a blend to the
// next. The zero Variation is none.
type Variation struct {
	BatchGrams     float64 // g of product
	BalanceStep    float64 // g, the balance's readability: each weight errs evenly by ± half a step
	RepeatabilityG float64 // g, standard deviation of the balance beside that; 0 means half a step
	Strength       float64 // relative standard deviation of a powder's strength from lot to lot
	Application    float64 // relative standard deviation of the amount put on
	Draws          int     // 0 means 2000
	Seed           uint64
}

// Usual variations, where a maker has no figures of her own.
const (
	// UsualStrength is a lot-to-lot strength of 3 %: suppliers commonly state
	// 100 ± 5 % against their standard (common practice), about two standard
	// deviations.
	UsualStrength = 0.03
	// UsualApplication is a quarter more or less: what people put on varies by
	// about as much from day to day (from memory of sunscreen use studies).
	UsualApplication = 0.25
)

// Scatter is how far from the intended look a blend may fall.
type Scatter struct {
	DeltaE95    float64 // ΔE00 from the intended look that 95 % of makings stay within
	Median      float64 // ΔE00 from the intended look, half are within
	Target95    float64 // ΔE00 from the first target that 95 % stay within
	Weighing    float64 // DeltaE95 with the weighing alone
	Strength    float64 // with the lots alone
	Application float64 // with the application alone
}

// ScatterOf draws makings of a blend at random and says how they differ: the
// whole of the model, where Uncertainty is linear. The same seed gives the
// same answer.
func ScatterOf(r Request, parts []film.Part, v Variation) (Scatter, error) {
	var s Scatter
	g, err := gaugeOf(r, parts)
	if err != nil {
		return s, err
	}
	for _, x := range [...]float64{v.BatchGrams, v.BalanceStep, v.RepeatabilityG, v.Strength, v.Application} {
		if !(x >= 0) || math.IsInf(x, 0) {
			return s, fmt.Errorf("a variation of %g; 0 or more is accepted", x)
		}
	}
	if v.Strength > 1 || v.Application > 1 {
		return s, fmt.Errorf("strength varies by %g and application by %g; at most 1 (100 %%) is accepted", v.Strength, v.Application)
	}
	if v.BalanceStep > 0 && v.BatchGrams == 0 {
		return s, fmt.Errorf("a balance step of %g g says nothing without the size of the batch", v.BalanceStep)
	}
	if v.Draws == 0 {
		v.Draws = 2000
	}
	if v.Draws < 20 || v.Draws > 1e6 {
		return s, fmt.Errorf("%d draws; 20 to 1000000 are accepted", v.Draws)
	}
	weighing, lots, application := v, v, v
	weighing.Strength, weighing.Application = 0, 0
	lots.BalanceStep, lots.Application = 0, 0
	application.BalanceStep, application.Strength = 0, 0
	s.DeltaE95, s.Median, s.Target95 = g.scatter(parts, v)
	s.Weighing, _, _ = g.scatter(parts, weighing)
	s.Strength, _, _ = g.scatter(parts, lots)
	s.Application, _, _ = g.scatter(parts, application)
	return s, nil
}

// scatter draws makings and returns percentiles of their ΔE00.
func (g *gauge) scatter(parts []film.Part, v Variation) (p95, median, target95 float64) {
	exact := percents(parts)
	meant := g.lab(&exact)
	if (v.BalanceStep == 0 || v.BatchGrams == 0) && v.Strength == 0 && v.Application == 0 {
		return 0, 0, colour.DeltaE00(meant, g.r.Targets[0].Lab)
	}
	rng := rand.New(rand.NewPCG(v.Seed, 0x7a3b))
	repeat := v.RepeatabilityG
	if repeat == 0 {
		repeat = v.BalanceStep / 2
	}
	baseK, baseS := g.p.baseK, g.p.baseS
	defer func() { g.p.baseK, g.p.baseS = baseK, baseS }()
	off, miss := make([]float64, v.Draws), make([]float64, v.Draws)
	for d := range off {
		// Every draw takes the same numbers, so that one cause alone can be
		// compared with all.
		apply := math.Exp(v.Application * rng.NormFloat64())
		p := exact
		for i := range parts {
			even, normal, strong := rng.Float64()-0.5, rng.NormFloat64(), rng.NormFloat64()
			if v.BalanceStep > 0 && v.BatchGrams > 0 {
				p[i] = math.Max(0, p[i]+100*(even*v.BalanceStep+normal*repeat)/v.BatchGrams)
			}
			p[i] *= math.Exp(v.Strength*strong) * apply
		}
		for j := range baseK {
			g.p.baseK[j], g.p.baseS[j] = baseK[j]*apply, baseS[j]*apply
		}
		lab := g.lab(&p)
		off[d], miss[d] = colour.DeltaE00(meant, lab), colour.DeltaE00(lab, g.r.Targets[0].Lab)
	}
	slices.Sort(off)
	slices.Sort(miss)
	at := func(list []float64, share float64) float64 {
		return list[min(int(math.Ceil(share*float64(len(list))))-1, len(list)-1)]
	}
	return at(off, 0.95), at(off, 0.5), at(miss, 0.95)
}
