package mend

import (
	"fmt"

	"tawny/blend/film"
	"tawny/blend/search"
)

// What an L* of gleam counts as in a mending, ΔE00. Kept, what CIEDE2000 makes of
// one where skin gleams: its S_L is 1.6 at L* 90. Asked for, more, but not the
// search's own worth, before which the shade would be nothing: an addition seldom
// gives all of a gleam (conventions of this tool).
const (
	keptWorth  = 0.6
	askedWorth = 2.0
)

// shimmer works out how the batch looks, and what its additions are held to.
func (c *problem) shimmer() (err error) {
	worn := film.Worn{Ground: c.Shade.Ground, Apply: c.Shade.Apply, Tilt: c.Shade.Tilt, SurfaceShare: c.Shade.SurfaceShare, Base: c.Shade.Base, Light: c.Shade.Light}
	if worn.Parts = c.Request.Planned; worn.Parts == nil {
		for _, p := range c.Batch.Powders {
			worn.Parts = append(worn.Parts, film.Part{Pigment: p.Pigment, Percent: 100 * p.Grams / c.Batch.BatchGrams})
		}
	}
	if c.State.Planned, err = search.LookOf(worn); err != nil {
		return err
	}
	worn.Parts = nil
	for i, g := range c.own {
		worn.Parts = append(worn.Parts, film.Part{Pigment: g, Percent: 100 * c.grams[i] / c.left})
	}
	if c.Look, err = search.LookOf(worn); err != nil {
		return err
	}
	s := search.Shimmer{}
	if c.Shade.Shimmer != nil {
		s = *c.Shade.Shimmer
	}
	s.Worth = askedWorth
	now, planned := c.Look.Gleam, c.State.Planned.Gleam
	switch {
	case c.GleamBy > 1 || c.GleamBy > 0 && now > 0: // of none there cannot be less
		aim := c.GleamBy * now
		if c.GleamBy > 1 {
			aim = max(aim, c.GleamBy*film.LeastGleam)
		}
		if !c.KeepGleam {
			if s.GleamHi > 0 {
				aim = min(aim, s.GleamHi)
			}
			aim = max(aim, s.GleamLo)
		}
		if (aim-now)*(c.GleamBy-1) <= 0 {
			return fmt.Errorf("the gleam asked for and what an eye says pull apart: it has %.1f; one of the two is accepted", now)
		}
		s.GleamLo, s.GleamHi = aim, aim
	case c.KeepGleam && max(now, planned) > 0:
		s.GleamLo, s.GleamHi = max(0, min(now, planned)), max(now, planned)
		if s.Grain == "" {
			s.Worth = keptWorth
		}
	}
	if s.GleamLo > 0 || s.GleamHi > 0 || s.Grain != "" {
		c.Wanted = &s
	}
	c.Shade.Shimmer = c.Wanted
	return nil
}
