package shimmer

import (
	"sync"

	"tawny/blend/film"
)

// surfaces are the boundary of a film as the key light and the fill meet it.
// The fill's takes milliseconds to integrate and the named coverages use few,
// so they are kept.
type surfaces struct{ key, fill film.Surface }

type surfaceKey struct{ index, tilt float64 }

var (
	surfaceLock sync.Mutex
	surfaceKept = map[surfaceKey]surfaces{}
)

const mostKept = 64

func surfacesOf(index float64, tilt film.Tilt) (surfaces, error) {
	k := surfaceKey{index, tilt.SigmaDeg}
	surfaceLock.Lock()
	s, ok := surfaceKept[k]
	surfaceLock.Unlock()
	if ok {
		return s, nil
	}
	var err error
	if s.key, err = film.NewSurface(index, film.At45, 0, tilt); err != nil {
		return s, err
	}
	if s.fill, err = film.NewSurface(index, film.FromRound, 0, tilt); err != nil {
		return s, err
	}
	surfaceLock.Lock()
	defer surfaceLock.Unlock()
	if len(surfaceKept) >= mostKept {
		clear(surfaceKept)
	}
	surfaceKept[k] = s
	return s, nil
}
