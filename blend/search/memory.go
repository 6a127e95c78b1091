package search

import (
	"sync"

	"tawny/blend/film"
	"tawny/blend/palette"
)

// Memory keeps powders made ready for a film from one request to the next. The
// zero Memory is empty.
type Memory struct{ ready sync.Map } // *film.Prepared by onFilm

type onFilm struct {
	reader *film.Reader
	optics *palette.Optics
}

// prepared is a powder ready for a reader.
func (m *Memory) prepared(on *film.Reader, optics *palette.Optics, powder func() *film.Powder) *film.Prepared {
	if m == nil {
		return on.Prepare(powder())
	}
	if kept, ok := m.ready.Load(onFilm{on, optics}); ok {
		return kept.(*film.Prepared)
	}
	p := on.Prepare(powder())
	m.ready.Store(onFilm{on, optics}, p)
	return p
}
