package swatches

import (
	"fmt"
	"math"
)

// What a card has room for.
const (
	MaxRows  = 6
	MaxLooks = 8
	MaxParts = 12
)

// Check reports the first thing about the card that cannot be drawn.
func (c *Card) Check() error {
	if n := len(c.Rows); n < 1 || n > MaxRows {
		return fmt.Errorf("the card has %d rows; 1 to %d are accepted", n, MaxRows)
	}
	for i := range c.Rows {
		if err := c.Rows[i].check(); err != nil {
			return fmt.Errorf("row %d: %w", i+1, err)
		}
		if len(c.Rows[i].Looks) != len(c.Rows[0].Looks) {
			return fmt.Errorf("row %d has %d looks and the first %d; as many are accepted", i+1, len(c.Rows[i].Looks), len(c.Rows[0].Looks))
		}
	}
	return checkBlocks(c.Blocks)
}

func checkBlocks(blocks []Block) error {
	for _, b := range blocks {
		if b, ok := b.(interface{ check() error }); ok {
			if err := b.check(); err != nil {
				return err
			}
		}
	}
	return nil
}

// check wants each patch to be a colour, and a film of every one or of none.
func (r *Row) check() error {
	if n := len(r.Looks); n < 1 || n > MaxLooks {
		return fmt.Errorf("%d looks; 1 to %d are accepted", n, MaxLooks)
	}
	all := r.patches()
	if r.Target != nil {
		all = append(all, Patch{Name: "target", Lab: r.Target.Lab, Film: r.Skin.Film})
	}
	if err := checkLabs(all); err != nil {
		return err
	}
	for _, p := range all {
		if (p.Film != nil) != r.lit() {
			return fmt.Errorf("bare skin or %s has a film to picture and the other has none; both or neither is accepted", p.Name)
		}
		if p.Film != nil {
			if err := p.Film.Check(); err != nil {
				return fmt.Errorf("%s: %w", p.Name, err)
			}
		}
	}
	return nil
}

func (b *Blend) check() error {
	if n := len(b.Parts); n > MaxParts {
		return fmt.Errorf("the blend has %d powders; at most %d fit a card", n, MaxParts)
	}
	for _, p := range b.Parts {
		if err := checkAmount("percent of "+p.Powder, p.Percent); err != nil {
			return err
		}
		if err := checkAmount("grams of "+p.Powder, p.Grams); err != nil {
			return err
		}
	}
	if err := checkAmount("load", b.LoadPercent); err != nil {
		return err
	}
	return checkAmount("batch grams", b.BatchGrams)
}

// checkLabs wants colours near those there are.
func checkLabs(all []Patch) error {
	for _, p := range all {
		c := p.Lab
		if !c.Finite() || math.Abs(c.L) > 1000 || math.Abs(c.A) > 1000 || math.Abs(c.B) > 1000 {
			return fmt.Errorf("%s is L*a*b* %g, %g, %g; finite numbers within ±1000 are accepted", p.Name, c.L, c.A, c.B)
		}
	}
	return nil
}

func checkAmount(name string, x float64) error {
	if !(x >= 0 && x < 1e7) {
		return fmt.Errorf("%s is %g; 0 to ten million is accepted", name, x)
	}
	return nil
}
