package film

import (
	"errors"
	"fmt"
	"math"
	"sync"
)

// DefaultIndex is the refractive index taken for the binder: oils and dried
// lotion films lie at 1.45 to 1.48 (common practice).
const DefaultIndex = 1.47

// Errors for films there are none of.
var (
	ErrIndex = errors.New("film: a binder's refractive index lies above 1 and at most at 3")
	ErrTilt  = fmt.Errorf("film: the tilt of flakes lies from 0° to %d°", steepest)
)

// steepest is where the picture of flakes lying flat loses its meaning, and
// steepestSurface the most a film's surface is taken to share of their tilt.
const (
	steepest        = 40
	steepestSurface = 10
)

// Lay is how a film lies on the skin.
type Lay struct {
	Index      float64 // refractive index of the binder
	TiltDeg    float64 // standard deviation of the flakes' tilt along one axis, degrees
	SurfaceDeg float64 // of it, what the surface tilts with them; 0 is flat
}

// Film is what the way a film lies settles before any powder is in it. It is
// made once and used by many goroutines.
type Film struct {
	Lay
	cones   *cones
	grid    *grid
	mixing  *mixing
	slope   float64 // tan of the flakes' tilt to the surface
	surface float64 // tan of the surface's
	mu      sync.Mutex
	entries map[float64]*entry // by cosine of incidence in air
}

// New checks a Lay and averages over its slopes.
func New(lay Lay) (*Film, error) {
	if !(lay.Index > 1 && lay.Index <= 3) {
		return nil, fmt.Errorf("%w, got %g", ErrIndex, lay.Index)
	}
	if !(lay.TiltDeg >= 0 && lay.TiltDeg <= steepest) {
		return nil, fmt.Errorf("%w, got %g°", ErrTilt, lay.TiltDeg)
	}
	if !(lay.SurfaceDeg >= 0 && lay.SurfaceDeg <= min(lay.TiltDeg, steepestSurface)) {
		return nil, fmt.Errorf("film: the surface tilts from 0° to %d° and no more than its flakes' %g°, got %g°", steepestSurface, lay.TiltDeg, lay.SurfaceDeg)
	}
	all, surface := math.Tan(lay.TiltDeg*math.Pi/180), math.Tan(lay.SurfaceDeg*math.Pi/180)
	f := &Film{Lay: lay, slope: math.Sqrt(max(0, all*all-surface*surface)), surface: surface, entries: map[float64]*entry{}}
	f.cones = newCones(lay.Index)
	f.grid = newGrid(f.cones.critical)
	f.mixing = newMixing(f.cones, f.grid, f.slope)
	return f, nil
}

// entry returns the light of one incidence, cosine in air.
func (f *Film) entry(cos float64) *entry {
	key := math.Round(cos*1e12) / 1e12
	f.mu.Lock()
	defer f.mu.Unlock()
	e := f.entries[key]
	if e == nil {
		e = newEntry(f.cones, f.grid, f.slope, vec{sine(key), 0, key}.refracted(f.Index))
		f.entries[key] = e
	}
	return e
}
