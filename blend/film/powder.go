package film

import "tawny/colour"

// Powder is what one powder, or a base, does to light per mg/cm². It may have
// flakes, grains or both. The zero Powder is clear.
type Powder struct {
	FaceArea float64           // of flakes, cm²/mg; 0 without any
	R, T     []colour.Spectrum // a flake's, at flake.Incidences; a single one holds at every angle
	MuA, MuS colour.Spectrum   // absorption and scattering of grains along a ray, cm²/mg
	// Moments are those of the grains' phase function, χ_l per band, χ_0 = 1,
	// χ_1 = g; missing ones are 0, and none at all scatters alike every way.
	Moments [][colour.Bands]float64
}

// Grains returns grains from the K and S [cm²/mg] of two fluxes and the moments
// of their phase function: μa = K/2, μs(1−g) = 4S/3 (the diffusion limit).
func Grains(k, s *colour.Spectrum, moments [][colour.Bands]float64) *Powder {
	p := &Powder{Moments: moments}
	for b := range k {
		p.MuA[b] = k[b] / 2
		p.MuS[b] = 4 * s[b] / 3
		if len(moments) > 1 {
			p.MuS[b] /= 1 - moments[1][b]
		}
	}
	return p
}

// Facing returns flakes from the K and S [cm²/mg] of two fluxes and the area of
// one face [cm²/mg]: R = S/a, T = 1 − (K+S)/a, the same at every angle.
func Facing(area float64, k, s *colour.Spectrum) *Powder {
	var r, t colour.Spectrum
	for b := range k {
		r[b] = s[b] / area
		t[b] = 1 - (k[b]+s[b])/area
	}
	return &Powder{FaceArea: area, R: []colour.Spectrum{r}, T: []colour.Spectrum{t}}
}

// moment returns χ_l in a band.
func (p *Powder) moment(l, band int) float64 {
	switch {
	case l < len(p.Moments):
		return p.Moments[l][band]
	case l == 0:
		return 1
	}
	return 0
}

// faces are a flake's R and A at the local incidences in one band.
type faces struct {
	r, a [nodes]float64
	one  bool // the first holds at every angle
}

func (p *Powder) faces(band int) (f faces) {
	f.one = len(p.R) == 1
	for q := range p.R {
		f.r[q], f.a[q] = p.R[q][band], 1-p.R[q][band]-p.T[q][band]
	}
	return f
}

// over returns Σ w R and Σ w A over the local incidences.
func (f *faces) over(w *[nodes]float64) (r, a float64) {
	if f.one {
		sum := 0.0
		for _, v := range w {
			sum += v
		}
		return sum * f.r[0], sum * f.a[0]
	}
	for q, v := range w {
		r += v * f.r[q]
		a += v * f.a[q]
	}
	return r, a
}
