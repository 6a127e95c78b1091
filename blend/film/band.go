package film

import "tawny/colour"

// Band returns what is read in air of one band of a film, with its derivatives
// in K, S and Sf. Sf is part of S but is varied alone here: a flake powder of
// areal mass m changes R by m(K' ∂K + S'(∂S + ∂Sf)).
func (s *Surface) Band(k, sc, sf, rg float64) (r, dk, ds, dsf float64) {
	ri, ik, is := Reflect(k, sc, rg)
	p, pf, pks := Beam(sf, k, sc)
	in := 1 - s.K1
	over := 1 / (1 - s.K2*ri)
	out := (1 - s.K2) * over // share of diffuse light that leaves in the end
	r = s.P*s.K1 + in*(p*s.Tau+(ri-p*s.TauC)*out)
	byRi := in * out * over * (1 - s.K2*p*s.TauC)
	byP := in * (s.Tau - s.TauC*out)
	return r, byRi*ik + byP*pks, byRi*is + byP*pks, byP * pf
}

// Film is a film on a ground in every band. The zero Film is clear and lies on
// perfect black.
type Film struct {
	K, S, Sf colour.Spectrum // of the whole film
	Rg       colour.Spectrum // of the ground, just below the surface
}

// Slopes holds the derivatives of a film's reading in every band.
type Slopes struct{ K, S, Sf colour.Spectrum }

// Read fills r with what is read of film f and d with its derivatives.
func (s *Surface) Read(f *Film, r *colour.Spectrum, d *Slopes) {
	for i := range r {
		r[i], d.K[i], d.S[i], d.Sf[i] = s.Band(f.K[i], f.S[i], f.Sf[i], f.Rg[i])
	}
}

// Reading returns what is read of film f.
func (s *Surface) Reading(f *Film) colour.Spectrum {
	var r colour.Spectrum
	for i := range r {
		r[i], _, _, _ = s.Band(f.K[i], f.S[i], f.Sf[i], f.Rg[i])
	}
	return r
}

// InTheJar returns the colour of a layer of film too deep to see through, read
// through the surface. Flakes in a jar lie every way, so nothing leaves as a
// beam.
func (s *Surface) InTheJar(f *Film) colour.Spectrum {
	var r colour.Spectrum
	for i := range r {
		r[i] = s.Above(Infinite(f.K[i], f.S[i]), 0)
	}
	return r
}
