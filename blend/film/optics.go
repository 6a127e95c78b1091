package film

import (
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/parallel"
)

// PowderOf returns what a powder of a drawer does to light. Flakes whose coat is
// known have their own reflection at every incidence, in the proportion that
// measured K and S give it. A film goes by K and S, so where the area of a face is
// not known one stands in; and it is linear in them: a powder of K alone 1 and one
// of S alone 1, in masses K and S, are the powder.
func PowderOf(o *palette.Optics) *Powder {
	area := o.FaceArea
	if area == 0 {
		area = 1
	}
	switch {
	case o.Flake && len(o.R) > 0:
		return tabled(area, o)
	case o.Flake:
		return Facing(area, &o.K, &o.S)
	}
	return Grains(&o.K, &o.S, o.Moments)
}

// tabled is a flake by its coat's table of incidences. The table holds for its
// own mean R₀ and A₀; where K and S say otherwise it goes with them.
func tabled(area float64, o *palette.Optics) *Powder {
	p := &Powder{FaceArea: area, R: make([]colour.Spectrum, len(o.R)), T: make([]colour.Spectrum, len(o.R))}
	for b := range o.K {
		for q, r := range o.R {
			mirrored := o.S[b] / area * ofMean(r[b], o.MeanR[b])
			lost := o.K[b] / area * ofMean(1-r[b]-o.T[q][b], o.MeanA[b])
			p.R[q][b], p.T[q][b] = mirrored, 1-mirrored-lost
		}
	}
	return p
}

// rounding is a share of light that is only the rounding of 1 − R − T.
const rounding = 1e-6

// ofMean is what a coat does at one incidence in terms of its mean, and 1, alike
// at all, where it does nothing to go by.
func ofMean(x, mean float64) float64 {
	if mean < rounding {
		return 1
	}
	return max(0, x) / mean
}

// Kept returns the film of a Lay. Its averages over slopes take milliseconds
// and the same few films come up again and again, so they are kept.
func Kept(lay Lay) (*Film, error) {
	return kept.Get(lay, func() (*Film, error) { return New(lay) })
}

// Reader returns a reader of films that lie so.
func (l Lay) Reader(g colour.Geometry) (*Reader, error) {
	f, err := Kept(l)
	if err != nil {
		return nil, err
	}
	return f.Reader(g)
}

var kept = parallel.Once[Lay, *Film]{Most: mostKept}

// mostKept bounds what is kept of one kind.
const mostKept = 200
