package mend

import "math"

// Trial is a mending tried first on a little of the batch.
type Trial struct {
	Grams     float64    // g of the batch taken for it
	Additions []Addition // powders
	BaseGrams float64    // g of base
}

// Trial returns the same additions on the smallest whole gram of a batch of
// grams at which each is five steps of the balance at least; nil where that is
// the batch itself, or without a balance.
func (c *Mending) Trial(grams, step float64) *Trial {
	least := math.Inf(1)
	if c.BaseGrams > 0 {
		least = c.BaseGrams
	}
	for _, a := range c.Additions {
		least = math.Min(least, a.Grams)
	}
	small := math.Ceil(leastSteps*step*grams/least - 1e-9)
	if !(small > 0 && small < grams) {
		return nil
	}
	scaled := func(g float64) float64 { return math.Round(g*small/grams/step) * step }
	t := &Trial{Grams: small, BaseGrams: scaled(c.BaseGrams)}
	for _, a := range c.Additions {
		t.Additions = append(t.Additions, Addition{a.Pigment, scaled(a.Grams), a.New})
	}
	return t
}
