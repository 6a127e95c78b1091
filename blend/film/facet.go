package film

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"tawny/colour"
)

// facet is one piece of the film's surface under one light: a flat film of its
// own, with its share of the reading.
type facet struct {
	*cones
	mixing *mixing
	entry  *entry
	view   *view // nil for a sphere
	boundary
	cos   float64 // of incidence, in air
	share float64 // of the reading
}

// frame is the facet of normal n (z > 0, into the skin) as it meets light in:
// the light lies in the facet's x–z plane.
type frame struct {
	x, y, z vec
	in      vec // the light, in the facet's axes
}

func newFrame(n, in vec) frame {
	f := frame{z: n}
	across := n.cross(in)
	if across.dot(across) < 1e-18 { // light square on: any axes do
		across = vec{-n[1], n[0], 0}
		if across.dot(across) < 1e-18 {
			across = vec{0, 1, 0}
		}
	}
	f.y = across.unit()
	f.x = f.y.cross(n)
	f.in = f.local(in)
	return f
}

// local is a direction in the facet's axes.
func (f *frame) local(v vec) vec { return vec{v.dot(f.x), v.dot(f.y), v.dot(f.z)} }

// facet prepares a facet for light of a frame; share scales its reading.
func (f *Film) facet(fr *frame, share float64) facet {
	c := f.cones
	e := f.entry(fr.in[2])
	b := boundary{rd: c.rd, root: pair{c.root[0], c.root[1]}, product: c.root[0] * c.root[1]}
	in := share * (1 - colour.Fresnel(f.Index, fr.in[2]))
	b.byCone = in * (1 - c.rd)
	b.byBeam = in
	return facet{cones: c, mixing: f.mixing, entry: e, boundary: b, cos: fr.in[2], share: share}
}

// from turns a facet into one seen from direction out, in air and in its axes.
func (f *Film) from(a facet, out vec, share float64) facet {
	a.view = newView(f.cones, f.grid, f.slope, a.entry, out.refracted(f.Index))
	in := share * (1 - colour.Fresnel(f.Index, a.cos)) * (1 - colour.Fresnel(f.Index, -out[2]))
	a.byCone, a.byBeam, a.byLobe = in, 0, in*a.view.lobe
	a.share = share
	return a
}

// piece is a slope of the surface with its share of the film's area.
type piece struct {
	normal vec
	share  float64
}

// pieces returns the surface's slopes by a Gauss–Hermite rule of so many points
// an axis; pieces of less than a millionth are left out.
func (f *Film) pieces(points int) []piece {
	if f.surface == 0 {
		return []piece{{vec{0, 0, 1}, 1}}
	}
	x, w := make([]float64, points), make([]float64, points)
	quad.Hermite{}.FixedLocations(x, w, math.Inf(-1), math.Inf(1))
	var all []piece
	for i := range x {
		for j := range x {
			share := w[i] * w[j] / math.Pi
			if share < 1e-6 {
				continue
			}
			s := f.surface * math.Sqrt2
			all = append(all, piece{vec{-x[i] * s, -x[j] * s, 1}.unit(), share})
		}
	}
	return all
}

// inPlane is pieces where light and eye lie in the x–z plane: a slope to one side
// of it reads as that to the other does, and stands for both.
func (f *Film) inPlane(points int) []piece {
	var half []piece
	for _, p := range f.pieces(points) {
		switch side := p.normal[1]; {
		case side > 0:
			p.share *= 2
		case side < 0:
			continue
		}
		half = append(half, p)
	}
	return half
}
