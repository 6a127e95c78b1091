package search

import (
	"sync"

	"tawny/blend/film"
	"tawny/blend/palette"
)

// Memory keeps powders made ready for a film from one request to the next. The
// zero Memory is empty.
type Memory struct {
	ready sync.Map // *film.Prepared by onFilm
	moved sync.Map // *movable by onFilm
}

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

// movable is a powder ready to be moved.
func (m *Memory) movable(u *unsteady, g *palette.Pigment) *movable {
	if m == nil {
		return u.movable(g)
	}
	key := onFilm{u.reader, &g.Optics}
	if kept, ok := m.moved.Load(key); ok {
		return kept.(*movable)
	}
	p := u.movable(g)
	m.moved.Store(key, p)
	return p
}
