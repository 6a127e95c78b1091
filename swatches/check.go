package swatches

import (
	"fmt"
	"math"

	"tawny/colour"
	"tawny/swatches/shimmer"
)

// MaxCoverages, MaxParts and MaxJars are what a card has room for.
const (
	MaxCoverages = 4
	MaxParts     = 12
	MaxJars      = 3
)

// Check reports the first thing about the card that cannot be drawn.
func (c *Card) Check() error {
	if err := checkLab("skin", c.Skin.Lab); err != nil {
		return err
	}
	if c.Target != nil {
		if err := checkLab("target", c.Target.Lab); err != nil {
			return err
		}
	}
	if n := len(c.Coverages); n < 1 || n > MaxCoverages {
		return fmt.Errorf("the card has %d coverages; 1 to %d are accepted", n, MaxCoverages)
	}
	if c.Matched < 0 || c.Matched >= len(c.Coverages) {
		return fmt.Errorf("the matched coverage is number %d; 0 to %d is accepted", c.Matched, len(c.Coverages)-1)
	}
	for _, v := range c.Coverages {
		if err := checkLab("coverage "+v.Name, v.Lab); err != nil {
			return err
		}
		if err := checkAmount("coverage "+v.Name, v.MgPerCM2); err != nil {
			return err
		}
	}
	if n := len(c.Jars); n > MaxJars {
		return fmt.Errorf("the card has %d jars; at most %d fit", n, MaxJars)
	}
	for _, j := range c.Jars {
		if err := checkLab("jar "+j.Name, j.Lab); err != nil {
			return err
		}
	}
	if err := c.checkFilms(); err != nil {
		return err
	}
	return c.Blend.check()
}

// checkFilms wants a film of every patch or of none.
func (c *Card) checkFilms() error {
	if c.Skin.Film == nil {
		for _, v := range c.Coverages {
			if v.Film != nil {
				return fmt.Errorf("coverage %s has a film to picture but the bare skin has none; both or neither is accepted", v.Name)
			}
		}
		return nil
	}
	if err := checkFilm("bare skin", c.Skin.Film, c.Scene); err != nil {
		return err
	}
	for _, v := range c.Coverages {
		if v.Film == nil {
			return fmt.Errorf("the bare skin has a film to picture but coverage %s has none; both or neither is accepted", v.Name)
		}
		if err := checkFilm("coverage "+v.Name, v.Film, c.Scene); err != nil {
			return err
		}
	}
	return nil
}

func checkFilm(name string, f *shimmer.Film, s shimmer.Scene) error {
	if err := f.Check(); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	if err := s.Check(); err != nil {
		return fmt.Errorf("%s: %w", name, err)
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

func checkLab(name string, c colour.Lab) error {
	if !c.Finite() || math.Abs(c.L) > 1000 || math.Abs(c.A) > 1000 || math.Abs(c.B) > 1000 {
		return fmt.Errorf("%s is L*a*b* %g, %g, %g; finite numbers within ±1000 are accepted", name, c.L, c.A, c.B)
	}
	return nil
}

func checkAmount(name string, x float64) error {
	if !(x >= 0 && x < 1e7) {
		return fmt.Errorf("%s is %g; 0 to ten million is accepted", name, x)
	}
	return nil
}
