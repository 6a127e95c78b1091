package drawdown

import (
	"fmt"
	"math"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
)

// Reading is one film read over one ground.
type Reading struct {
	Film    string          // names the film; readings of one film share its mass
	Ground  colour.Spectrum // reflectance of the bare ground, read the same way
	Read    colour.Spectrum // reflectance of the film on it
	Mass    Mass            // of powder
	Reader  *film.Reader    // how both were read, and the tilt assumed of flakes
	BinderK colour.Spectrum // K of the binder in the whole film; zero for a clear one
	BinderS colour.Spectrum // S of the same
	FromLab bool            // made from an L*a*b* through a smooth spectrum
}

// noise is the standard error of one band of one reading of reflectance r: about
// what lifting and replacing a hand-held instrument on a hand-drawn film gives, 0.2
// to 0.3 ΔE00 (common practice): the film's own unevenness is the larger part.
func noise(r float64) float64 { return math.Hypot(0.001, 0.007*r) }

// independent is how many of a reading's bands count as separate evidence of a
// film's mass. A wrong mass and a reading's own error of level look alike, and
// level is the larger part of a reading's error, so 36 bands say little more
// than one. A convention; on simulated readings with smooth errors (see the
// tests) 1 puts the truth inside the 95 % bands in 95 of 100, 3 in 93.
const independent = 1

// observation is a reading made ready: its ground taken below the surface, its
// areal mass as now believed.
type observation struct {
	*Reading
	under   film.Under
	powders []*film.Prepared // of K alone 1, of S alone 1, and the binder unless it is clear
	m       float64          // mg/cm²
	film    int              // number of its film
	noise   colour.Spectrum
}

// lay takes the ground below the surface and makes ready what K and S are to be
// found of: the film a prediction makes of such a powder.
func (o *observation) lay(like *palette.Optics) (err error) {
	if o.under, err = o.Reader.Card(&o.Ground); err != nil {
		return err
	}
	absorbs, scatters := *like, *like
	absorbs.K, absorbs.S = colour.Constant(1), colour.Spectrum{}
	scatters.K, scatters.S = colour.Spectrum{}, colour.Constant(1)
	for _, of := range [2]*palette.Optics{&absorbs, &scatters} {
		o.powders = append(o.powders, o.Reader.Prepare(film.PowderOf(of)))
	}
	if binder := (&film.Base{K: o.BinderK, S: o.BinderS}).Powder(); binder != nil {
		o.powders = append(o.powders, o.Reader.Prepare(binder))
	}
	return nil
}

// reads is at without derivatives.
func (o *observation) reads(j int, k, s float64) float64 {
	mass := [3]float64{o.m * k, o.m * s, 1}
	return o.Reader.Band(j, &o.under, o.powders, mass[:len(o.powders)], nil)
}

// residual is how the reading differs from what a powder gives.
func (o *observation) residual(p *palette.Optics) Residual {
	var model colour.Spectrum
	for j := range model {
		model[j] = o.reads(j, p.K[j], p.S[j])
	}
	r := Residual{Read: colour.D65.Lab(&o.Read), Model: colour.D65.Lab(&model)}
	r.DeltaE00 = colour.DeltaE00(r.Read, r.Model)
	return r
}

// at returns the model's reading of band j for K and S per mass, with its
// derivatives in K, in S (with the flakes' part following), and in ln m.
func (o *observation) at(j int, k, s float64) (r, dk, ds, dm float64) {
	mass := [3]float64{o.m * k, o.m * s, 1}
	var slopes [2]float64
	r = o.Reader.Band(j, &o.under, o.powders, mass[:len(o.powders)], slopes[:])
	dk, ds = o.m*slopes[0], o.m*slopes[1]
	return r, dk, ds, k*dk + s*ds
}

// observe checks readings of a powder and makes them ready, numbering the films.
func observe(like *palette.Optics, readings []Reading) (obs []observation, films []string, err error) {
	number := map[string]int{}
	for i := range readings {
		r := &readings[i]
		if m := r.Mass; !(m.MgPerCM2 > 0 && m.Err >= 0) || math.IsInf(m.MgPerCM2, 1) || math.IsInf(m.Err, 1) {
			return nil, nil, fmt.Errorf("reading %d, film %q: an areal mass of %g ± %g mg/cm²; above 0, with an error of 0 or more, is accepted", i+1, r.Film, m.MgPerCM2, m.Err)
		}
		name := r.Film
		n, seen := number[name]
		if name == "" { // unnamed films are each their own
			name, seen = fmt.Sprintf("of reading %d", i+1), false
		}
		if !seen {
			n = len(films)
			number[r.Film] = n
			films = append(films, name)
		}
		o := observation{Reading: r, m: r.Mass.MgPerCM2, film: n}
		if seen {
			for _, before := range obs {
				if before.film == n && before.Mass != r.Mass {
					return nil, nil, fmt.Errorf("reading %d: film %q was given as %g mg/cm² before and %g here", i+1, name, before.Mass.MgPerCM2, r.Mass.MgPerCM2)
				}
			}
		}
		if err = o.lay(like); err != nil {
			return nil, nil, fmt.Errorf("reading %d, film %q, ground: %w", i+1, name, err)
		}
		for j, v := range r.Read {
			// The film's own reading may pass a perfect white (a beam
			// towards the eye) but not lie below the surface's mirror.
			if gloss := o.Reader.Gloss(&o.under); !(v > gloss) || math.IsInf(v, 1) {
				return nil, nil, fmt.Errorf("reading %d, film %q, at %g nm: reflectance %.4g is no brighter than the surface's own reflection, %.4g", i+1, name, colour.WavelengthNM(j), v, gloss)
			}
			if !(r.BinderK[j] >= 0 && r.BinderS[j] >= 0) {
				return nil, nil, fmt.Errorf("reading %d, film %q, at %g nm: the binder's K and S cannot be negative", i+1, name, colour.WavelengthNM(j))
			}
			o.noise[j] = noise(v)
		}
		obs = append(obs, o)
	}
	return obs, films, nil
}

// OnePair reports whether the readings are one film over two grounds, which
// leaves nothing over to say of its mass.
func OnePair(readings []Reading) bool {
	return len(readings) == 2 && readings[0].Film == readings[1].Film
}
