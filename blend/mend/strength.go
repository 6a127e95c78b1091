package mend

import (
	"fmt"

	"tawny/blend/palette"
	"tawny/blend/search"
	"tawny/colour"
)

// Reading is a colour read of a batch as it stood.
type Reading struct {
	Batch    Batch
	Specimen Specimen
	Lab      colour.Lab // under the specimen's light
	ByEye    bool       // told from pairs, not read
	Error    float64    // ΔE00, standard error of the reading; 0 means InstrumentError or EyeError
}

// sigma is its standard error.
func (r *Reading) sigma() float64 {
	switch {
	case r.Error != 0:
		return r.Error
	case r.ByEye:
		return EyeError
	}
	return InstrumentError
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
	Pigment *palette.Pigment `json:"powder"`
	Factor  float64          `json:"factor"` // 1 is as listed
}

// learnt gathers what was read of a batch of these powders, to be told how
// strong they are: a reading tells three numbers, so with more powders than
// that the likeliest of many explanations is taken, the nearest to as listed,
// and the next reading sharpens it.
func learnt(r *search.Request, powders []*palette.Pigment, readings []Reading) (*amounts, error) {
	a := &amounts{spread: StrengthSpread, parts: len(powders)}
	for i := range powders {
		a.free = append(a.free, i)
	}
	for n, one := range readings {
		if !one.Lab.Finite() {
			return nil, fmt.Errorf("reading %d: L*a*b* (%g, %g, %g); finite numbers are accepted", n+1, one.Lab.L, one.Lab.A, one.Lab.B)
		}
		sigma := one.sigma()
		if !(sigma > 0 && sigma <= 100) {
			return nil, fmt.Errorf("reading %d: an error of ΔE00 %g; more than 0 is accepted", n+1, sigma)
		}
		parts, err := one.Batch.partsOf(powders)
		if err != nil {
			return nil, fmt.Errorf("reading %d: %w", n+1, err)
		}
		f, err := one.Specimen.with(r, parts)
		if err != nil {
			return nil, fmt.Errorf("reading %d: %w", n+1, err)
		}
		a.films, a.wanted, a.errors = append(a.films, f), append(a.wanted, one.Lab), append(a.errors, sigma)
	}
	return a, nil
}
