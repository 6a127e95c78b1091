package film

import (
	"math"

	"tawny/blend/flake"
	"tawny/colour"
)

// Lit is a worn blend taken apart for a picture.
type Lit struct {
	TiltDeg, Index float64
	Reading        colour.Spectrum // as Predict gives it, gloss as the ground was read
	Even           colour.Spectrum // radiance factor of the diffuse light under light at 45°, seen square on, without gloss
	// LocalDeg rises: the incidence on the flakes seen at 75°, 45° and 15° from
	// the mirror. Beams holds the part of each powder there: b of
	// Reader.Parts times μ0/p0, which hardly depends on the light's direction.
	LocalDeg [3]float64
	Beams    [][3]colour.Spectrum // of each of the blend's parts
}

// Lit takes a worn blend apart.
func (w Worn) Lit() (*Lit, error) {
	w, err := w.WithDefaults()
	if err != nil {
		return nil, err
	}
	lain, err := w.lain()
	if err != nil {
		return nil, err
	}
	l := &Lit{TiltDeg: w.Tilt, Index: w.Base.Index, Beams: make([][3]colour.Spectrum, len(w.Parts))}
	if l.Reading, err = lain.reading(w.Geometry); err != nil {
		return nil, err
	}
	for i, view := range [3]int{2, 1, 0} {
		deg := flake.Aspecular[view]
		in, _, m := lain.film.mirrored(deg)
		l.LocalDeg[i] = math.Acos(in.dot(m)) * 180 / math.Pi
		r, err := lain.film.Angle(deg)
		if err != nil {
			return nil, err
		}
		var diffuse colour.Spectrum
		beams := make([]colour.Spectrum, len(lain.powders))
		r.Parts(&diffuse, beams, &lain.under, r.prepare(lain.powders), lain.mass)
		if deg == 45 {
			l.Even = diffuse
		}
		e := lain.film.entry(towards(45)[2])
		for p := range min(len(w.Parts), len(beams)) {
			for b, v := range beams[p] {
				l.Beams[p][i][b] = v * e.d[2] / e.p0
			}
		}
	}
	return l, nil
}

// mirrored returns, in the binder, the direction of light from 45°, that of the
// view at an aspecular angle, and the normal of the flakes between.
func (f *Film) mirrored(aspecularDeg float64) (in, out, normal vec) {
	in, out = towards(45), towards(45-aspecularDeg)
	out[2] = -out[2]
	in, out = in.refracted(f.Index), out.refracted(f.Index)
	return in, out, in.plus(out.scaled(-1)).unit()
}
