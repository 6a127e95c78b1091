package film

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"tawny/blend/flake/mie"
	"tawny/colour"
)

// jarOrders is how many moments stirred flakes have, which mirror every way and
// have no narrow peak.
const jarOrders = 32

// Stirred returns the powder as it lies in a jar, its flakes turned every way.
// Light then meets a face at random, half of its area across. A face met at cosine
// μ turns what it mirrors by cosΘ = 1 − 2μ², so the reflection by incidence is the
// grain's phase function,
//
//	χ_l = ∫ R(μ) P_l(1 − 2μ²) μ dμ / ∫ R(μ) μ dμ
//
// isotropic where R is the same at every incidence.
func (f *Film) Stirred(p *Powder) *Powder {
	if p.FaceArea == 0 {
		return p
	}
	out := &Powder{MuA: p.MuA, Moments: make([][colour.Bands]float64, max(jarOrders+1, len(p.Moments)))}
	turned := f.turned()
	for b := range colour.Bands {
		of := p.faces(b)
		all, a := of.over(&turned[0])
		out.MuA[b] += p.FaceArea * a / 2
		out.MuS[b] = p.MuS[b] + p.FaceArea*all/2
		for l := range out.Moments {
			sent := p.MuS[b] * p.moment(l, b)
			if l < len(turned) && len(p.R) > 1 || l == 0 {
				r, _ := of.over(&turned[l])
				sent += p.FaceArea * r / 2
			}
			if out.MuS[b] > 0 {
				out.Moments[l][b] = sent / out.MuS[b]
			}
		}
		out.Moments[0][b] = 1
	}
	return out
}

// turned returns, by order, the weights of R at the local incidences in
// 2∫ R P_l(1 − 2μ²) μ dμ.
func (g *grid) turned() *[jarOrders + 1][nodes]float64 {
	var w [jarOrders + 1][nodes]float64
	const across = 2*jarOrders + nodes // exact for the polynomial of each panel
	var x, step [across]float64
	var p [jarOrders + 1]float64
	for _, span := range [2][2]float64{{0, g.critical}, {g.critical, 1}} {
		quad.Legendre{}.FixedLocations(x[:], step[:], span[0], span[1])
		for i, mu := range x {
			at := g.at(mu)
			mie.Legendre(1-2*mu*mu, p[:])
			for l := range w {
				for q, v := range at {
					w[l][q] += 2 * step[i] * mu * p[l] * v
				}
			}
		}
	}
	return &w
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
	reading := perRate * (dot(b.turned(), b.over.times(b.z)) + k[leaving]*s.byBeam)
	sum := pair{k[sumLight1] + rho*k[sumBeam1], k[sumLight2] + rho*k[sumBeam2]}
	diff := pair{k[diffLight1] + rho*k[diffBeam1], k[diffLight2] + rho*k[diffBeam2]}
	reading += (dot(sum, field) + dot(diff, turned)) / 2
	if s.byLobe != 0 || k[viewPhase] != 0 {
		reading += k[viewMirror] * perRate * s.byLobe
		reading += s.byCone * (k[viewPhase]/(light+k[viewFade]) - b.singleBack()/(light+k[coneFade]))
	}
	return reading
}
