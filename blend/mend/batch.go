package mend

import (
	"fmt"
	"slices"

	"tawny/blend/film"
	"tawny/blend/palette"
)

// Batch is a batch as it stands: what was weighed into it and what has left it.
type Batch struct {
	Powders     []Weighed
	BatchGrams  float64 // g weighed in all, powders and base together
	EvaporatedG float64 // g of water lost, which leaves the powders behind
	RemovedG    float64 // g taken out since, powders and all: samples, filled jars
}

// Weighed is a powder's weight as it was weighed in.
type Weighed struct {
	Pigment *palette.Pigment
	Grams   float64
}

// Addition is a powder added to a batch.
type Addition struct {
	Pigment *palette.Pigment `json:"powder,omitempty"`
	Grams   float64          `json:"grams"`
	New     bool             `json:"new,omitempty"` // the batch had none of it
}

// Check reports the first amount no batch has.
func (b *Batch) Check() error {
	if !(b.BatchGrams > 0 && b.BatchGrams <= 1e9) {
		return fmt.Errorf("a batch of %g g; more than 0 is accepted", b.BatchGrams)
	}
	if len(b.Powders) == 0 {
		return fmt.Errorf("a batch without powders has no shade to mend")
	}
	sum := 0.0
	for i, p := range b.Powders {
		if p.Pigment == nil {
			return fmt.Errorf("powder %d of the batch has no name", i+1)
		}
		if !(p.Grams >= 0) {
			return fmt.Errorf("powder %q: %g g; 0 or more is accepted", p.Pigment.Name, p.Grams)
		}
		for _, q := range b.Powders[:i] {
			if q.Pigment == p.Pigment {
				return fmt.Errorf("powder %q is in the batch twice; add its weights up", p.Pigment.Name)
			}
		}
		sum += p.Grams
	}
	if !(sum > 0) {
		return fmt.Errorf("a batch without powders has no shade to mend")
	}
	if !(sum < b.BatchGrams) {
		return fmt.Errorf("%g g of powders in a batch of %g g, powders and base together; a batch of more than its powders is accepted", sum, b.BatchGrams)
	}
	if !(b.EvaporatedG >= 0 && b.EvaporatedG < b.BatchGrams-sum) {
		return fmt.Errorf("%g g lost as water of a batch with %g g beside its powders; 0 to less than that is accepted", b.EvaporatedG, b.BatchGrams-sum)
	}
	if !(b.RemovedG >= 0 && b.RemovedG < b.BatchGrams-b.EvaporatedG) {
		return fmt.Errorf("%g g taken out of a batch of %g g; less than it is accepted", b.RemovedG, b.BatchGrams-b.EvaporatedG)
	}
	return nil
}

// Grams is what is left of the batch, g.
func (b *Batch) Grams() float64 { return b.BatchGrams - b.EvaporatedG - b.RemovedG }

// left is the share of each powder still in the batch.
func (b *Batch) left() float64 { return b.Grams() / (b.BatchGrams - b.EvaporatedG) }

// Parts returns the powders as they stand, % w/w of what is left.
func (b *Batch) Parts() []film.Part {
	var parts []film.Part
	for _, p := range b.Powders {
		parts = append(parts, film.Part{Pigment: p.Pigment, Percent: 100 * p.Grams / (b.BatchGrams - b.EvaporatedG)})
	}
	return parts
}

// partsOf is Parts over a given list of powders, 0 where the batch has none.
func (b *Batch) partsOf(powders []*palette.Pigment) ([]film.Part, error) {
	if err := b.Check(); err != nil {
		return nil, err
	}
	parts := make([]film.Part, len(powders))
	for i, g := range powders {
		parts[i].Pigment = g
	}
	for _, p := range b.Parts() {
		k := slices.Index(powders, p.Pigment)
		if k < 0 {
			return nil, fmt.Errorf("the batch read holds a powder the batch made does not")
		}
		parts[k].Percent = p.Percent
	}
	return parts, nil
}

// Add returns the batch after additions: powders, and base or water of
// baseGrams.
func (b *Batch) Add(additions []Addition, baseGrams float64) Batch {
	next := Batch{BatchGrams: b.Grams() + baseGrams}
	for _, p := range b.Powders {
		next.Powders = append(next.Powders, Weighed{p.Pigment, p.Grams * b.left()})
	}
	for _, a := range additions {
		next.BatchGrams += a.Grams
		k := slices.IndexFunc(next.Powders, func(p Weighed) bool { return p.Pigment == a.Pigment })
		if k < 0 {
			next.Powders, k = append(next.Powders, Weighed{Pigment: a.Pigment}), len(next.Powders)
		}
		next.Powders[k].Grams += a.Grams
	}
	return next
}
