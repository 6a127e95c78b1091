package film

import (
	"errors"
	"fmt"
	"math"
	"sync"

	"tawny/colour/parallel"
	"tawny/colour/skin"
)

// DefaultIndex is the refractive index taken for the binder: oils and dried
// lotion films lie at 1.45 to 1.48 (common practice).
const DefaultIndex = 1.47

// Errors for films there are none of.
var (
	ErrIndex = errors.New("film: a binder's refractive index lies above 1 and at most at 3")
	ErrTilt  = fmt.Errorf("film: the tilt of flakes lies from 0° to %d°", MostTilt)
)

// The tilts that may be asked for, degrees: a convention of this tool. At MostTilt
// the picture of flakes lying flat loses its meaning; flatter than LeastTilt nobody
// lays them on a skin.
const (
	LeastTilt = 1
	MostTilt  = 40
)

// A film's surface tilts with its flakes by at most this share of their tilt and
// by at most so many degrees.
const (
	MostSurfaceShare = 0.8
	steepestSurface  = 10
)

// MostSurface returns the most that a film's surface is taken to tilt with flakes
// of a tilt, degrees: a dried film of 1 to 2 µm cannot lie flat over a flake of
// 24 µm at 15°, and shares up to 0.8 of its tilt, at most 10°. A convention of
// this tool. What it tilts in truth nobody measured, so flat is what is taken
// where nothing is said, and all up to this is what is doubted.
func MostSurface(tiltDeg float64) float64 { return min(MostSurfaceShare*tiltDeg, steepestSurface) }

// Lay is how a film lies on the skin.
type Lay struct {
	Index      float64 // refractive index of the binder
	TiltDeg    float64 // standard deviation of the flakes' tilt along one axis, degrees
	SurfaceDeg float64 // of it, what the surface tilts with them; 0 is flat
	HazeOff    float64 // added to skin.HazeShare, the share of its mirror that skin throws sideways
}

// LayOf returns the lay of flakes of a tilt, degrees, of which the surface takes a
// share: no more than [MostSurface]'s 10°.
func LayOf(index, tiltDeg, surfaceShare float64) Lay {
	return Lay{Index: index, TiltDeg: tiltDeg, SurfaceDeg: min(surfaceShare*tiltDeg, steepestSurface)}
}

// Film is what the way a film lies settles before any powder is in it. It is
// made once and used by many goroutines.
type Film struct {
	Lay
	cones   *cones
	grid    *grid
	mixing  *mixing
	tilts   *tilts
	slope   float64 // tan of the flakes' tilt to the surface
	surface float64 // tan of the surface's
	turned  func() *[jarOrders + 1][nodes]float64
	entries parallel.Once[float64, *entry] // by cosine of incidence in air
	readers parallel.Once[way, *Reader]
}

// New checks a Lay and averages over its slopes.
func New(lay Lay) (*Film, error) {
	if !(lay.Index > 1 && lay.Index <= 3) {
		return nil, fmt.Errorf("%w, got %g", ErrIndex, lay.Index)
	}
	if !(lay.TiltDeg >= 0 && lay.TiltDeg <= MostTilt) {
		return nil, fmt.Errorf("%w, got %g°", ErrTilt, lay.TiltDeg)
	}
	if most := MostSurface(lay.TiltDeg); !(lay.SurfaceDeg >= 0 && lay.SurfaceDeg <= most*(1+1e-12)) {
		return nil, fmt.Errorf("film: a surface over flakes of %g° tilts from 0° to %g°, got %g°", lay.TiltDeg, most, lay.SurfaceDeg)
	}
	if h := skin.HazeShare + lay.HazeOff; !(h >= 0 && h <= 1) {
		return nil, fmt.Errorf("film: skin throws 0 to 1 of its surface's reflection sideways, got %g", h)
	}
	all, surface := math.Tan(lay.TiltDeg*math.Pi/180), math.Tan(lay.SurfaceDeg*math.Pi/180)
	f := &Film{Lay: lay, slope: math.Sqrt(max(0, all*all-surface*surface)), surface: surface}
	f.entries.Most, f.readers.Most = mostKept, mostKept
	f.cones = newCones(lay.Index)
	f.grid = newGrid(lay.Index)
	f.turned = sync.OnceValue(f.grid.turned)
	f.tilts = newTilts(f.slope)
	f.mixing = newMixing(f.cones, f.grid, f.tilts)
	return f, nil
}

// entry returns the light of one incidence, cosine in air.
func (f *Film) entry(cos float64) *entry {
	key := math.Round(cos*1e12) / 1e12
	e, _ := f.entries.Get(key, func() (*entry, error) {
		return newEntry(f.cones, f.grid, f.tilts, vec{sine(key), 0, key}.refracted(f.Index)), nil
	})
	return e
}
