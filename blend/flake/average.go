package flake

import (
	"fmt"
	"math"

	"tawny/blend/flake/constants"
	"tawny/colour"
)

// At returns reflectance, transmittance and absorptance of the flake for
// unpolarised light at an angle θ in the binder, in degrees from the flake's
// normal, 0 ≤ θ < 90: the mean over the thickness distributions of substrate
// and coats. a is 1 − r − t in every band.
func (f Flake) At(thetaBinderDeg float64) (r, t, a colour.Spectrum, err error) {
	p, err := f.prepare()
	if err != nil {
		return r, t, a, err
	}
	// Written so that NaN fails.
	if !(thetaBinderDeg >= 0 && thetaBinderDeg < 90) {
		return r, t, a, fmt.Errorf("angle in the binder %g°: 0 to below 90 is accepted", thetaBinderDeg)
	}
	r, t = p.average(single(math.Cos(thetaBinderDeg * math.Pi / 180)))
	return r, t, rest(&r, &t), nil
}

// Incoming returns the averages for diffuse light from outside: in the binder
// uniform in sin²θ over 0 to 1/n², the escape cone. It is the default for a
// flake's K and S.
func (f Flake) Incoming() (r, t, a colour.Spectrum, err error) {
	p, err := f.prepare()
	if err != nil {
		return r, t, a, err
	}
	r, t = p.average(p.incoming())
	return r, t, rest(&r, &t), nil
}

// rest is the absorptance that makes r + t + a = 1.
func rest(r, t *colour.Spectrum) (a colour.Spectrum) {
	for i := range a {
		a[i] = 1 - r[i] - t[i]
	}
	return a
}

func (p *prepared) incoming() rule {
	most := 1 / (p.binder * p.binder)
	return cosines(most, 5+p.turns(most)) // in air (binder 1) this is 0 to 1
}

// turns is how many more nodes the fringes need that pass by as sin²θ goes
// from 0 to most: one for every two radians.
func (p *prepared) turns(most float64) int {
	beta2 := p.binder * p.binder * most
	passing := 0.0
	for b := range colour.Bands {
		k0 := 2 * math.Pi / colour.WavelengthNM(b)
		run := func(eps, thickness float64) float64 {
			eps = max(eps, 0)
			return 2 * k0 * thickness * (math.Sqrt(eps) - math.Sqrt(max(eps-beta2, 0)))
		}
		phase := 0.0
		for i := range p.films {
			phase += 2 * run(real(p.films[i].epsilon[b]), p.films[i].thickness)
		}
		const mica = constants.MuscoviteIndex
		if s := 2 * k0 * p.spread * mica; math.Exp(-s*s/2) > 1e-5 {
			phase += run(mica*mica, p.substrate)
		}
		passing = max(passing, phase)
	}
	return int(math.Ceil(passing / 2))
}

// average returns reflectance and transmittance over the cosines of a rule,
// over the thicknesses and over both polarisations.
func (p *prepared) average(cosine rule) (r, t colour.Spectrum) {
	const micaEps = constants.MuscoviteIndex * constants.MuscoviteIndex
	n0 := p.binder
	var waves [MaxLayers]wave // outermost first
	for b := range r {
		k0 := 2 * math.Pi / colour.WavelengthNM(b)
		scales := &p.scales[b]
		for i, c := range cosine.node {
			beta2 := n0 * n0 * (1 - c*c)
			inMica := math.Sqrt(micaEps - beta2)
			mica := newFringe(k0, inMica, p.substrate, p.spread)
			sBinder, pBinder := complex(n0*c, 0), complex(n0/c, 0)
			sMica, pMica := complex(inMica, 0), complex(micaEps/inMica, 0)
			outermost := len(p.films) - 1
			for l := range p.films {
				f := &p.films[l]
				waves[outermost-l] = newWave(f.epsilon[b], k0*f.thickness, beta2)
			}
			for j, scale := range scales.node {
				s, q := unit, unit
				for l := range p.films {
					fs, fp := waves[l].layer(scale)
					if l == 0 {
						s, q = fs, fp
						continue
					}
					s, q = s.times(fs), q.times(fp)
				}
				rs, ts := mica.whole(s.face(sBinder, sMica))
				rp, tp := mica.whole(q.face(pBinder, pMica))
				w := cosine.weight[i] * scales.weight[j] / 2
				r[b] += w * (rs + rp)
				t[b] += w * (ts + tp)
			}
		}
	}
	return r, t
}
