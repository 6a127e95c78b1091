package flake

import (
	"math"

	"tawny/colour"
)

// Optics is what flakes do to light per unit areal mass, lying parallel to the
// surface: multiply by mg/cm² of powder.
type Optics struct {
	K        colour.Spectrum   // absorption, cm²/mg, for light coming in
	S        colour.Spectrum   // reflection, cm²/mg, for light coming in
	SAt      []colour.Spectrum // reflection, cm²/mg, at each local incidence asked for
	FaceArea float64           // area of one face, cm²/mg
}

// Optics returns K and S from the incoming average and S at each local
// incidence angle, degrees in the binder, 0 ≤ θ < 90.
func (f Flake) Optics(anglesDeg ...float64) (Optics, error) {
	p, err := f.prepare()
	if err != nil {
		return Optics{}, err
	}
	o := Optics{FaceArea: p.faceArea}
	r, t := p.average(p.incoming())
	a := rest(&r, &t)
	o.S, o.K = scaled(&r, p.faceArea), scaled(&a, p.faceArea)
	if len(anglesDeg) == 0 {
		return o, nil
	}
	o.SAt = make([]colour.Spectrum, len(anglesDeg))
	for i, deg := range anglesDeg {
		if err := checkAngle(deg); err != nil {
			return Optics{}, err
		}
		r, _ := p.average(single(math.Cos(deg * math.Pi / 180)))
		o.SAt[i] = scaled(&r, p.faceArea)
	}
	return o, nil
}

func scaled(s *colour.Spectrum, by float64) (out colour.Spectrum) {
	for i := range s {
		out[i] = s[i] * by
	}
	return out
}
