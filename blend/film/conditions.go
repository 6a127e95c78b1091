package film

import (
	"fmt"

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

// Below returns the skin just under its surface.
func (c *Conditions) Below(g Ground) (colour.Spectrum, error) {
	r, err := c.Surface.BelowAll(&g.Reflectance)
	if err != nil && !g.Excluded {
		return r, fmt.Errorf("bare skin: %w; a reading taken without gloss (45°:0°, a sphere that leaves it out, a photo) is written with /de at its end", err)
	}
	if err != nil {
		return r, fmt.Errorf("bare skin: %w", err)
	}
	return r, nil
}
