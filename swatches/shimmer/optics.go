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

// inside refracts a direction that points away from the skin, of cosine c to
// the normal, into the binder.
func inside(v, normal vector, c, n float64) (w vector, cosine float64) {
	t := v.plus(normal, -c).times(1 / n)
	cosine = math.Sqrt(1 - (1-c*c)/(n*n))
	return t.plus(normal, cosine), cosine
}

// lobe is the geometry of one point of skin under one light.
type lobe struct {
	ci, co   float64 // cosines in air to light and eye
	ti, to   float64 // transmittances
	cosTilt  float64 // cos β
	cosLocal float64 // cos θ_loc
	chance   float64 // D(β) cosβ / (4 n² cosθ_loc), glints per flake and sr of Ω
	weight   float64 // radiance factor per unit of beam
}

// geometry returns the lobe, and whether light and eye are both above the
// surface.
func geometry(normal, light, eye vector, f *film.Film) (g lobe, ok bool) {
	n := f.Index
	g.ci, g.co = normal.dot(light), normal.dot(eye)
	if g.ci <= 0 || g.co <= 0 {
		return g, false
	}
	g.ti, g.to = 1-colour.Fresnel(n, g.ci), 1-colour.Fresnel(n, g.co)
	l, ci := inside(light, normal, g.ci, n)
	e, co := inside(eye, normal, g.co, n)
	h := l.plus(e, 1)
	h = h.times(1 / math.Sqrt(h.dot(h)))
	g.cosTilt, g.cosLocal = h.dot(normal), h.dot(l)
	if f.TiltDeg > 0 {
		g.chance = f.GlintChance(g.cosTilt, g.cosLocal)
		// film.Film's Lobe, by the beams of film.Lit.
		g.weight = math.Pi * g.ti * g.to * f.Density(g.cosTilt) * g.cosTilt / (4 * n * n * ci * co)
	}
	return g, true
}

func (g *lobe) localDeg() float64 { return math.Acos(math.Min(1, g.cosLocal)) / degree }
