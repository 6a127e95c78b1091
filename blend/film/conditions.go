package film

import (
	"fmt"
	"math"

	"tawny/colour"
)

// Conditions are what the air boundary and the tilt of the flakes make of a
// request.
type Conditions struct {
	Surface Surface
	Views   [4]View
}

// NewConditions returns the boundary for a binder, a tilt and whether the
// surface's own mirror reflection is in the reading. Light enters near the
// normal, as in a d:8 sphere; a 45°:0° reading of skin differs by 0.01 in k1.
func NewConditions(index, tilt float64, excluded bool) (c Conditions, err error) {
	included := 1.0
	if excluded {
		included = 0
	}
	t := Tilt{SigmaDeg: tilt}
	if c.Surface, err = NewSurface(index, Normal, included, t); err != nil {
		return c, err
	}
	c.Views, err = Views(index, t)
	return c, err
}

// leastBelow is the least reflectance that is left to come from below the
// surface: deep skin has been measured at 0.027 where a mirror of the binder's
// index alone would return 0.036, since skin's own surface is not a mirror.
const leastBelow = 0.002

// MirrorShare is the share of the surface's mirror reflection that is taken off
// a reading of bare skin: all that its geometry has in it, or less where that
// would leave under leastBelow.
func (c *Conditions) MirrorShare(g Ground) float64 {
	least := math.Inf(1)
	for _, r := range g.Reflectance {
		least = math.Min(least, r)
	}
	return math.Max(0, math.Min(c.Surface.P, (least-leastBelow)/c.Surface.K1))
}

// Below returns the skin just under its surface. Every reading that returns
// anything has one; the film over it has its own gloss whole.
func (c *Conditions) Below(g Ground) (colour.Spectrum, error) {
	s := c.Surface
	s.P = c.MirrorShare(g)
	r, err := s.BelowAll(&g.Reflectance)
	if err != nil {
		return r, fmt.Errorf("bare skin: %w", err)
	}
	return r, nil
}
