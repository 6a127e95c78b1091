package search

import (
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour/parallel"
)

// Memory keeps powders made ready for a film from one request to the next. The
// zero Memory is empty.
type Memory struct {
	ready parallel.Once[onFilm, *film.Prepared]
	moved parallel.Once[onFilm, *movable]
}

type onFilm struct {
	reader *film.Reader
	optics *palette.Optics
}

// prepared is a powder ready for a reader.
func (m *Memory) prepared(on *film.Reader, optics *palette.Optics, powder func() *film.Powder) *film.Prepared {
	p, _ := m.ready.Get(onFilm{on, optics}, func() (*film.Prepared, error) { return on.Prepare(powder()), nil })
	return p
}

// movable is a powder ready to be moved.
func (m *Memory) movable(u *unsteady, g *palette.Pigment) *movable {
	p, _ := m.moved.Get(onFilm{u.reader, &g.Optics}, func() (*movable, error) { return u.movable(g), nil })
	return p
}
