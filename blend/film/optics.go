package film

import (
	"sync"

	"tawny/blend/palette"
	"tawny/colour"
)

// PowderOf returns what a powder of a drawer does to light. Flakes whose coat is
// known have their own reflection at every incidence, in the proportion that
// measured K and S give it. What other flakes do goes by K and S alone, so where
// the area of their faces is not known one stands in.
func PowderOf(o *palette.Optics) *Powder {
	switch {
	case o.FaceArea > 0 && o.Flake && len(o.R) > 0:
		return tabled(o)
	case o.Flake:
		return Facing(1, &o.K, &o.S)
	}
	p := Grains(&o.K, &o.S, &o.G)
	if len(o.Moments) > 0 {
		p.Moments = o.Moments
	}
	return p
}

// tabled is a flake by its coat's table of incidences. The table holds for its
// own mean R₀ and A₀; where K and S say otherwise it goes with them.
func tabled(o *palette.Optics) *Powder {
	p := &Powder{FaceArea: o.FaceArea, R: make([]colour.Spectrum, len(o.R)), T: make([]colour.Spectrum, len(o.R))}
	for b := range o.K {
		r, a := o.S[b]/o.FaceArea, o.K[b]/o.FaceArea
		byR, byA := ratio(r, o.MeanR[b]), ratio(a, o.MeanA[b])
		for q := range o.R {
			mirrored, lost := o.R[q][b], max(0, 1-o.R[q][b]-o.T[q][b])
			p.R[q][b] = mirrored * byR
			p.T[q][b] = 1 - mirrored*byR - lost*byA
		}
	}
	return p
}

// ratio is x for y, and 1 where there is nothing to go by.
func ratio(x, y float64) float64 {
	if y <= 0 {
		return 1
	}
	return x / y
}

// Kept returns the film of a Lay. Its averages over slopes take milliseconds
// and the same few films come up again and again, so they are kept.
func Kept(lay Lay) (*Film, error) {
	kept.Lock()
	f := kept.by[lay]
	kept.Unlock()
	if f != nil {
		return f, nil
	}
	f, err := New(lay)
	if err != nil {
		return nil, err
	}
	kept.Lock()
	defer kept.Unlock()
	if len(kept.by) >= mostKept {
		clear(kept.by)
	}
	kept.by[lay] = f
	return f, nil
}

// Reader returns a reader of films that lie so.
func (l Lay) Reader(g colour.Geometry) (*Reader, error) {
	f, err := Kept(l)
	if err != nil {
		return nil, err
	}
	return f.Reader(g)
}

const mostKept = 200

var kept = struct {
	sync.Mutex
	by map[Lay]*Film
}{by: map[Lay]*Film{}}
