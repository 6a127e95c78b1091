package blend

import (
	"fmt"
	"sync"
	"sync/atomic"

	"tawny/blend/film"
	"tawny/colour"
)

// conditions are what the air boundary and the tilt of the flakes make of a
// request.
type conditions struct {
	surface film.Surface
	views   [4]film.View
}

// newConditions returns the boundary for a binder, a tilt and whether the
// surface's own mirror reflection is in the reading. Light enters near the
// normal, as in a d:8 sphere; a 45°:0° reading of skin differs by 0.01 in k1.
func newConditions(index, tilt float64, excluded bool) (c conditions, err error) {
	key := conditionKey{index, tilt, excluded}
	if known, ok := knownConditions.Load(key); ok {
		return known.(conditions), nil
	}
	if c, err = computeConditions(index, tilt, excluded); err == nil && conditionCount.Add(1) <= maxConditions {
		knownConditions.Store(key, c)
	}
	return c, err
}

// The tilt's integrals take milliseconds and the same few conditions come up
// again and again, so the first of them are kept.
const maxConditions = 1000

type conditionKey struct {
	index, tilt float64
	excluded    bool
}

var (
	knownConditions sync.Map // conditionKey to conditions
	conditionCount  atomic.Int64
)

func computeConditions(index, tilt float64, excluded bool) (c conditions, err error) {
	included := 1.0
	if excluded {
		included = 0
	}
	t := film.Tilt{SigmaDeg: tilt}
	if c.surface, err = film.NewSurface(index, film.Normal, included, t); err != nil {
		return c, err
	}
	c.views, err = film.Views(index, t)
	return c, err
}

// below returns the skin just under its surface.
func (c *conditions) below(g Ground) (colour.Spectrum, error) {
	r, err := c.surface.BelowAll(&g.Reflectance)
	if err != nil && !g.Excluded {
		return r, fmt.Errorf("bare skin: %w; a reading taken without gloss (45°:0°, a sphere that leaves it out, a photo) is written with /de at its end", err)
	}
	if err != nil {
		return r, fmt.Errorf("bare skin: %w", err)
	}
	return r, nil
}

// LocalIncidence returns the angle, degrees in the binder, at which light from
// 45° meets the flakes that mirror it into each of film.Aspecular.
func LocalIncidence(binder float64) (deg [4]float64, err error) {
	// The angles do not depend on the tilt; flat flakes are quickest.
	views, err := film.Views(binder, film.Tilt{})
	for i, v := range views {
		deg[i] = v.LocalDeg
	}
	return deg, err
}
