package film

import (
	"math"

	"tawny/colour"
)

// Parts fills apart with what a reading is made of, its gloss left out: the
// diffuse light, and each powder's part of the flakes' beam b below the surface
// per light entering, mirrored at the local incidence of the view where the
// reader has one. A picture puts them together as diffuse + Σb·Lobe.
func (r *Reader) Parts(diffuse *colour.Spectrum, beams []colour.Spectrum, ground *Under, powders []*Prepared, mass []float64) {
	var w workspace
	all := 0.0
	for i := range r.facets {
		all += r.facets[i].share
	}
	for band := range diffuse {
		diffuse[band] = 0
		for i := range beams {
			beams[i][band] = 0
		}
		for i := range r.facets {
			f := &r.facets[i]
			reading := r.read(&w, i, band, ground.Below[band], powders, mass, false)
			at := mirror
			if f.view != nil {
				at = viewMirror
			}
			diffuse[band] += reading - w.through*(w.k[leaving]*f.byBeam+w.k[viewMirror]*f.byLobe)
			for j, p := range powders {
				beams[j][band] += w.through * mass[j] * p.facet[i][band][at] * f.share / all
			}
		}
	}
}

// Lobe returns the radiance factor in air per unit of beam, (1−F)(1−F_v) π D/
// (n² μ_v), for light travelling along in and seen along out: unit vectors in
// air, z into the skin, so in[2] > 0 and out[2] < 0. Flakes' whole tilt counts,
// the surface's included. Flat flakes have no lobe of finite height: 0 off the
// mirror direction.
func (f *Film) Lobe(in, out [3]float64) float64 {
	d, v := vec(in).refracted(f.Index), vec(out).refracted(f.Index)
	slope := math.Tan(f.TiltDeg * math.Pi / 180)
	m := d.plus(v.scaled(-1)).unit()
	if m[2] <= 0 {
		return 0
	}
	p0 := f.entry(in[2]).p0
	density := slopeDensity(m, slope) / (4 * p0 * m[2] * m[2] * m[2])
	return (1 - colour.Fresnel(f.Index, in[2])) * (1 - colour.Fresnel(f.Index, -out[2])) * math.Pi * density / (f.Index * f.Index * -v[2])
}

// Density returns the density of flake normals per steradian at tilt β, given
// its cosine, exp(−tan²β/2s²)/(2π s² cos⁴β): their areas seen from above add up
// to one, ∫ D cosβ dω = 1.
func (f *Film) Density(cos float64) float64 {
	if cos <= 0 {
		return 0
	}
	slope := math.Tan(f.TiltDeg * math.Pi / 180)
	return slopeDensity(vec{sine(cos), 0, cos}, slope) / (cos * cos * cos * cos)
}

// GlintChance returns the share of flakes, per sr in the binder times n², that are
// tilted so as to mirror one direction into another: D(β) cosβ / (4 n² cosθ_loc).
func (f *Film) GlintChance(cosTilt, cosLocal float64) float64 {
	return f.Density(cosTilt) * cosTilt / (4 * f.Index * f.Index * cosLocal)
}
