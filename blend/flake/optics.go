package flake

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"tawny/colour"
)

// Flakes in a film are asked for R and T at these many local incidences, in the
// escape cone and outside it: smooth in the cosine within the cone, fringed
// towards grazing.
const (
	SteepCosines   = 8
	GrazingCosines = 14
)

// Incidences returns the cosines of those in a binder of a refractive index over
// 1, grazing ones first, and the weights of ∫ dcosθ: Gauss points from 0 to the
// escape cone's edge √(1 − 1/n²) and from there to 1.
func Incidences(binder float64) (cosine, weight []float64) {
	cosine, weight = make([]float64, GrazingCosines+SteepCosines), make([]float64, GrazingCosines+SteepCosines)
	edge := math.Sqrt(1 - 1/(binder*binder))
	quad.Legendre{}.FixedLocations(cosine[:GrazingCosines], weight[:GrazingCosines], 0, edge)
	quad.Legendre{}.FixedLocations(cosine[GrazingCosines:], weight[GrazingCosines:], edge, 1)
	return cosine, weight
}

// Optics is what flakes do to light per unit areal mass, lying parallel to the
// surface: multiply by mg/cm² of powder.
type Optics struct {
	K        colour.Spectrum   // absorption, cm²/mg, for light coming in
	S        colour.Spectrum   // reflection, cm²/mg, for light coming in
	FaceArea float64           // area of one face, cm²/mg
	R, T     []colour.Spectrum // at each of Incidences; nil unless asked for
}

// Optics returns K and S from the incoming average.
func (f Flake) Optics() (Optics, error) {
	p, err := f.prepare()
	if err != nil {
		return Optics{}, err
	}
	r, t := p.average(p.incoming())
	return p.optics(&r, &t), nil
}

func (p *prepared) optics(r, t *colour.Spectrum) Optics {
	o := Optics{FaceArea: p.faceArea}
	a := rest(r, t)
	for b := range r {
		o.S[b], o.K[b] = r[b]*p.faceArea, a[b]*p.faceArea
	}
	return o
}

// Table returns Optics with R and T at every incidence, for a binder over 1. The
// steep ones are the incoming average's own, within 1e-8.
func (f Flake) Table() (Optics, error) {
	p, err := f.prepare()
	if err != nil {
		return Optics{}, err
	}
	cosine, weight := Incidences(p.binder)
	rs, ts := make([]colour.Spectrum, len(cosine)), make([]colour.Spectrum, len(cosine))
	var r, t colour.Spectrum
	for i, c := range cosine {
		rs[i], ts[i] = p.average(single(c))
		if i < GrazingCosines {
			continue
		}
		// Uniform in sin²θ over 0 to 1/n²: dsin²θ = 2 cosθ dcosθ.
		w := weight[i] * 2 * c * p.binder * p.binder
		for b := range r {
			r[b] += w * rs[i][b]
			t[b] += w * ts[i][b]
		}
	}
	o := p.optics(&r, &t)
	o.R, o.T = rs, ts
	return o, nil
}
