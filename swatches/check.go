package swatches

import (
	"fmt"
	"math"
)

// MaxCoverages, MaxParts and MaxJars are what a card has room for.
const (
	MaxCoverages = 4
	MaxParts     = 12
	MaxJars      = 3
)

// Check reports the first thing about the card that cannot be drawn.
func (c *Card) Check() error {
	if n := len(c.Coverages); n < 1 || n > MaxCoverages {
		return fmt.Errorf("the card has %d coverages; 1 to %d are accepted", n, MaxCoverages)
	}
	if c.Matched < 0 || c.Matched >= len(c.Coverages) {
		return fmt.Errorf("the matched coverage is number %d; 0 to %d is accepted", c.Matched, len(c.Coverages)-1)
	}
	if err := c.checkRibbon("coverage "); err != nil {
		return err
	}
	for _, v := range c.Coverages {
		if err := checkAmount("coverage "+v.Name, v.MgPerCM2); err != nil {
			return err
		}
	}
	if n := len(c.Jars); n > MaxJars {
		return fmt.Errorf("the card has %d jars; at most %d fit", n, MaxJars)
	}
	return c.Blend.check()
}

// checkRibbon wants each patch to be a colour, and a film of every one or of
// none. What a coverage is called starts with kind.
func (c *Card) checkRibbon(kind string) error {
	all := []Patch{{Name: "skin", Lab: c.Skin.Lab}}
	if c.Target != nil {
		all = append(all, Patch{Name: "target", Lab: c.Target.Lab})
	}
	for _, v := range c.Coverages {
		all = append(all, Patch{Name: kind + v.Name, Lab: v.Lab})
	}
	for _, j := range c.Jars {
		all = append(all, Patch{Name: "jar " + j.Name, Lab: j.Lab})
	}
	if err := checkLabs(all); err != nil {
		return err
	}
	lit := c.Skin.Film != nil
	if lit {
		if err := c.Skin.Film.Check(); err != nil {
			return fmt.Errorf("bare skin: %w", err)
		}
	}
	for _, v := range c.Coverages {
		switch {
		case lit && v.Film == nil:
			return fmt.Errorf("the bare skin has a film to picture but %s has none; both or neither is accepted", kind+v.Name)
		case !lit && v.Film != nil:
			return fmt.Errorf("%s has a film to picture but the bare skin has none; both or neither is accepted", kind+v.Name)
		case lit:
			if err := v.Film.Check(); err != nil {
				return fmt.Errorf("%s: %w", kind+v.Name, err)
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
