package search

import (
	"tawny/blend/doubt"
	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/parallel"
)

// unsteady tells how far mixtures move with what a prediction takes by convention or
// from memory: the tilt of flakes, the strength of powders, their coats and grains,
// each by package doubt's one sigma. Coats are moved along the spectrum, not computed
// again, and what a fit left unexplained is not counted: it ranks blends, and
// package doubt says how far one may be off.
type unsteady struct {
	p       *problem
	reader  *film.Reader
	light   *colour.Viewing
	tilted  [2]tilted // flatter and steeper
	powders []*movable
}

// tilted is a film of flakes of another tilt, with the skin under it.
type tilted struct {
	reader *film.Reader
	under  film.Under
	base   *film.Prepared // nil for a clear base
}

// movable is a powder made ready to be moved.
type movable struct {
	strength float64 // relative
	tilted   [2]*film.Prepared
	changed  []*film.Prepared
}

// mostLayers is how many layers a moved film is read with at most: powders, each with
// what may change of it, and a base.
const mostLayers = MostPowders*(1+doubt.MostQuickChanges) + 1

// unsteady makes ready the powders of some candidates.
func (k *ranker) unsteady(list []candidate) (*unsteady, error) {
	r, p := k.request, k.problem
	u := &unsteady{p: p, reader: p.film.readers[0], light: r.Light, powders: make([]*movable, len(k.use))}
	off := doubt.Usual(film.Worn{Tilt: r.Tilt}).Tilt
	for i, tilt := range [2]float64{r.Tilt - off, min(r.Tilt+off, film.MostTilt)} {
		f, err := film.Kept(film.LayOf(r.Base.Index, tilt, r.SurfaceShare))
		if err != nil {
			return nil, err
		}
		on := &u.tilted[i]
		if on.reader, err = f.Reader(r.Geometry); err != nil {
			return nil, err
		}
		if on.under, err = f.Ground(r.Ground.Geometry.Assumed(), &r.Ground.Reflectance); err != nil {
			return nil, err
		}
		if base := r.Base.Powder(); base != nil {
			on.base = on.reader.Prepare(base)
		}
	}
	used := make([]bool, len(k.use))
	for i := range list {
		m := &k.search.found[list[i].id]
		for _, l := range m.index[:m.n] {
			used[l] = true
		}
	}
	parallel.For(0, len(used), func(i int) {
		if used[i] {
			u.powders[i] = r.Memory.movable(u, k.use[i])
		}
	})
	return u, nil
}

func (u *unsteady) movable(g *palette.Pigment) *movable {
	d := doubt.Quick(g)
	m := &movable{strength: d.Strength}
	powder := film.PowderOf(&g.Optics)
	for i := range u.tilted {
		m.tilted[i] = u.tilted[i].reader.Prepare(powder)
	}
	for _, c := range d.Changes {
		o := c.Of(&g.Optics, 1)
		m.changed = append(m.changed, u.reader.Prepare(film.PowderOf(&o)))
	}
	return m
}

// moves returns the mean square of how far a mixture moves, ΔE00².
func (u *unsteady) moves(m *found) (sum float64) {
	p := u.p
	var layers [mostLayers]*film.Prepared
	var masses [mostLayers]float64
	var slopes [mostLayers]colour.Spectrum
	n := 0
	lay := func(g *film.Prepared, mass float64) {
		layers[n], masses[n] = g, mass
		n++
	}
	for i := range m.n {
		lay(p.film.ready[0][m.index[i]], m.x[i]*p.mass)
	}
	if p.film.base != nil {
		lay(p.film.base[0], p.apply)
	}
	own := n
	for i := range m.n {
		for _, c := range u.powders[m.index[i]].changed {
			lay(c, 0)
		}
	}
	var here colour.Spectrum
	u.reader.ReadBands(quickBands.bands, &here, slopes[:n], &p.under, layers[:n], masses[:n])
	quickBands.fill(&here)
	lab := u.light.Lab(&here)
	// add counts a share of the way between two readings as a move.
	add := func(from, to *colour.Spectrum, by float64) {
		r := here
		for _, b := range quickBands.bands {
			r[b] += by * (to[b] - from[b])
		}
		quickBands.fill(&r)
		sum += colour.DeltaE00Squared(u.light.Lab(&r), lab)
	}
	var none colour.Spectrum
	at := own
	for i := range m.n {
		g := u.powders[m.index[i]]
		add(&none, &slopes[i], masses[i]*g.strength)
		for range g.changed {
			add(&slopes[i], &slopes[at], masses[i])
			at++
		}
	}
	var ends [2]colour.Spectrum
	for s := range u.tilted {
		on := &u.tilted[s]
		for i := range m.n {
			layers[i] = u.powders[m.index[i]].tilted[s]
		}
		if on.base != nil {
			layers[m.n] = on.base
		}
		on.reader.ReadBands(quickBands.bands, &ends[s], nil, &on.under, layers[:own], masses[:own])
	}
	add(&ends[0], &ends[1], 0.5)
	return sum
}
