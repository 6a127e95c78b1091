package film

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"tawny/blend/flake/mie"
)

// Below grazing the mirrored beam's path is not followed: 1/μ would diverge.
const grazing = 0.05

// entry is light coming into a film from one direction: its own path c, and the
// beam b that flakes mirror from it. Weights of nodes are per unit of face area
// and multiply R, or A, at the local incidences; weights of orders multiply
// (2l+1) χ_l.
type entry struct {
	d  vec     // in the binder
	p0 float64 // mean |d·m| over the slopes

	tau float64 // share let out of b from flakes that mirror alike at every angle

	met      [nodes]float64 // of R and A: C0 with the incidences in which c meets flakes
	reaching [nodes]float64 // of R: of that, b inside the escape cone
	leaving  [nodes]float64 // of R: of that, b let out
	beam     [nodes]float64 // of A (and of R, with the two below): h_b
	down     [2][nodes]float64
	up       [2][nodes]float64
	inv      float64    // ⟨1/μ⟩ of b
	invIn    [2]float64 // ⟨[μ in cone]/μ⟩ of b

	light  [orders + 1]float64 // P_l(μ0)/μ0
	mirror [orders + 1]float64 // ⟨P_l(μ)/μ⟩ of b
}

func newEntry(c *cones, g *grid, t *tilts, d vec) *entry {
	e := &entry{d: d}
	var met, reaching, leaving tally
	m := t.fine
	all := 0.0
	for _, n := range m {
		cos := d.dot(n)
		w := math.Abs(cos)
		up := 2*cos*n[2] - d[2]
		all += w
		met.add(w, w)
		if up > 0 {
			out := w * (1 - fresnelInside(c.index, up))
			e.tau += out
			leaving.add(w, out)
		}
		if up > c.critical {
			reaching.add(w, w)
		}
	}
	e.p0 = all / float64(len(m))
	e.tau /= all
	e.met = met.weights(g, e.p0/d[2]/all)
	e.reaching = reaching.weights(g, e.p0/d[2]/all)
	e.leaving = leaving.weights(g, e.p0/d[2]/all)
	mie.Legendre(d[2], e.light[:])
	floats.Scale(1/d[2], e.light[:])
	e.onward(c, g, t)
	return e
}

// onward is what becomes of b: its paths and orders, and the flakes it meets.
// Nothing of it jumps where the reading is sensitive, so fewer slopes serve.
func (e *entry) onward(c *cones, g *grid, t *tilts) {
	var met [2][2]tally // by b turned down or going on, and cone
	var p [orders + 1]float64
	sum, above := 0.0, 0.0
	for _, n := range t.lobe {
		v := e.d.mirrored(n)
		if v[2] >= 0 {
			continue
		}
		w := math.Abs(e.d.dot(n))
		sum += w
		if up := -v[2]; up > grazing {
			above += w
			e.inv += w / up
			e.invIn[c.of(up)] += w / up
			mie.Legendre(up, p[:])
			floats.AddScaled(e.mirror[:], w/up, p[:])
		}
		w /= max(-v[2], grazing) * float64(len(t.again))
		x, y, down := v[0], v[1], v[2]
		for i := range t.again {
			m := &t.again[i]
			cos := x*m[0] + y*m[1] + down*m[2]
			z, onward := down-2*cos*m[2], 0
			if z < 0 {
				z, onward = -z, 1
			}
			cos = math.Abs(cos)
			met[onward][c.of(z)].add(cos, w*cos)
		}
	}
	e.inv /= above
	e.invIn[0] /= above
	e.invIn[1] /= above
	floats.Scale(1/above, e.mirror[:])
	for k := range 2 {
		e.down[k] = met[0][k].weights(g, 1/sum)
		e.up[k] = met[1][k].weights(g, 1/sum)
		for q := range e.beam {
			e.beam[q] += e.down[k][q] + e.up[k][q]
		}
	}
}

// sine is the sine of an angle with the given cosine.
func sine(cos float64) float64 { return math.Sqrt(max(0, 1-cos*cos)) }
