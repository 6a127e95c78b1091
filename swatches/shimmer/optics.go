package shimmer

import (
	"math"

	"tawny/blend/film"
	"tawny/colour"
)

type vector struct{ x, y, z float64 }

func (a vector) dot(b vector) float64 { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a vector) plus(b vector, k float64) vector {
	return vector{a.x + k*b.x, a.y + k*b.y, a.z + k*b.z}
}
func (a vector) times(k float64) vector { return vector{k * a.x, k * a.y, k * a.z} }
func (a vector) unit() vector           { return a.times(1 / math.Sqrt(a.dot(a))) }

// inside refracts a direction that points away from the skin, of cosine c to
// the normal, into the binder.
func inside(v, normal vector, c, n float64) (w vector, cosine float64) {
	t := v.plus(normal, -c).times(1 / n)
	cosine = math.Sqrt(1 - (1-c*c)/(n*n))
	return t.plus(normal, cosine), cosine
}

// widened is a slope's standard deviation as a lamp of a half-angle, degrees,
// shows it: a disc's directions spread by half the angle an axis, by a mirror's
// law half of that in slope, and by n less inside a binder.
func widened(slope, lampDeg, n float64) float64 {
	return math.Hypot(slope, lampDeg*degree/(4*n))
}

// lobe is the geometry of one point of skin under one light.
type lobe struct {
	ci, co   float64 // cosines in air to light and eye
	ti, to   float64 // transmittances
	localDeg float64 // θ_loc
	chance   float64 // D(β) cosβ / (4 n² cosθ_loc), glints per flake and sr of Ω
	weight   float64 // radiance factor per unit of beam
	mirror   float64 // radiance factor of the surface's gloss
}

// geometry returns the lobe, and whether light and eye are both above the
// surface. The film lies as wide as the lamp shows it.
func geometry(normal, light, eye vector, f *film.Film, gloss Gloss) (g lobe, ok bool) {
	n := f.Index
	g.ci, g.co = normal.dot(light), normal.dot(eye)
	if g.ci <= 0 || g.co <= 0 {
		return g, false
	}
	g.ti, g.to = 1-colour.Fresnel(n, g.ci), 1-colour.Fresnel(n, g.co)
	l, ci := inside(light, normal, g.ci, n)
	e, co := inside(eye, normal, g.co, n)
	h := l.plus(e, 1).unit()
	tilt, local := h.dot(normal), h.dot(l)
	g.localDeg = math.Acos(math.Min(1, local)) / degree
	if f.TiltDeg > 0 {
		g.chance = f.GlintChance(tilt, local)
		// film.Film's Lobe, by the beams of film.Lit.
		g.weight = math.Pi * g.ti * g.to * f.Density(tilt) * tilt / (4 * n * n * ci * co)
	}
	if gloss.Index > 1 {
		h = light.plus(eye, 1).unit()
		z := h.dot(normal)
		t2, s2 := 1/(z*z)-1, gloss.Slope*gloss.Slope
		// π F P/(4 m_z⁴ cosθi cosθo), P the density of the surface's slopes.
		g.mirror = colour.Fresnel(gloss.Index, h.dot(light)) * math.Exp(-t2/(2*s2)) / (2 * s2 * 4 * z * z * z * z * g.ci * g.co)
	}
	return g, true
}
