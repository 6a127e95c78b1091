package film

import (
	"math"

	"tawny/colour"
)

// Stirred returns the powder as it lies in a jar, its flakes turned every way.
// Light then meets a face at random, half of its area across, and is mirrored
// every way alike: flakes become grains that scatter isotropically, with R and
// T averaged over directions.
func (f *Film) Stirred(p *Powder) *Powder {
	if p.FaceArea == 0 {
		return p
	}
	out := &Powder{MuA: p.MuA}
	out.Moments = append(out.Moments, [colour.Bands]float64{})
	for range max(0, len(p.Moments)-1) {
		out.Moments = append(out.Moments, [colour.Bands]float64{})
	}
	for b := range colour.Bands {
		r, a := p.flake(&f.grid.lambert, b)
		out.MuA[b] += p.FaceArea * a / 2
		mirrored := p.FaceArea * r / 2
		out.MuS[b] = p.MuS[b] + mirrored
		for l := range out.Moments {
			if out.MuS[b] > 0 {
				out.Moments[l][b] = p.MuS[b] * p.moment(l, b) / out.MuS[b]
			}
		}
		out.Moments[0][b] = 1
	}
	return out
}

// Infinite returns the reading of a layer too deep to see through, such as a
// jar of stirred powders; only the ratios of the masses matter. Where nothing
// scatters no light comes back but the surface's.
//
//	√M = (M + √d)/r,  r = √(t + 2√d)     W = E⁻¹√M = (G + √d E⁻¹)/r
//	R = (1−W)/(1+W),  fields e^(−√M z) p,  ∫ e^(−ez) of them (e + √M)⁻¹ p
func (r *Reader) Infinite(powders []*Prepared, mass []float64) colour.Spectrum {
	var out colour.Spectrum
	var w workspace
	for b := range out {
		out[b] = r.gloss
		for i := range r.facets {
			f := &r.facets[i]
			w.mix(f.view != nil, i, b, powders, mass)
			out[b] += w.infinite(&f.boundary)
		}
	}
	return out
}

// infinite is read for a layer without end.
func (b *band) infinite(s *boundary) float64 {
	b.s = s
	k := &b.k
	b.matrices()
	if b.detE <= 0 {
		return 0
	}
	root := math.Sqrt(b.detE * b.detG)
	over := math.Sqrt(b.trace + 2*root)
	x := math.Sqrt(max(0, b.detG/b.detE)) // √d E⁻¹ = x adj(E)
	b.w = symmetric{(b.g.a + x*b.e.c) / over, (b.g.b - x*b.e.b) / over, (b.g.c + x*b.e.a) / over}
	b.aw = b.w.overOne()
	b.over = symmetric{2*b.aw.a - 1, 2 * b.aw.b, 2*b.aw.c - 1}
	b.reflect()
	b.p = b.aw.times(b.z.scaled(2))
	light := k[fadeLight]
	perRate := 1 / (light + k[fadeBeam])
	rho := k[mirror] * perRate
	// (e + √M)⁻¹ p
	at := light*over + root
	q := over / (at*at + at*b.trace + root*root)
	field := b.g.adjugate(b.e.adjugate(b.p))
	field = b.p.scaled(at).plus(field).scaled(q)
	turned := b.w.times(field)
	reading := rho * (dot(s.turned, b.over.times(b.z)) + s.byBeam)
	sum := pair{k[sumLight1] + rho*k[sumBeam1], k[sumLight2] + rho*k[sumBeam2]}
	diff := pair{k[diffLight1] + rho*k[diffBeam1], k[diffLight2] + rho*k[diffBeam2]}
	reading += (dot(sum, field) + dot(diff, turned)) / 2
	if s.byLobe != 0 || k[viewPhase] != 0 {
		reading += k[viewMirror] * perRate * s.byLobe
		reading += s.byCone * (k[viewPhase]/(light+k[viewFade]) - b.singleBack()/(light+k[coneFade]))
	}
	return reading
}
