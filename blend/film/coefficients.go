package film

import (
	"math"

	"tawny/blend/flake/mie"
	"tawny/colour"
)

// The coefficients of a film in one band, each linear in the areal masses.
// Streams are divided by √σ of their cone, which makes A and B symmetric.
const (
	exchange   = iota // x: between the cones, onward and back
	absorb1           // a1, a2: taken from a cone's stream
	absorb2           //
	back1             // turned back within a cone
	back2             //
	turned            // y: of the exchange, back less onward
	fadeLight         // e0: of c
	fadeBeam          // eb: of b
	mirror            // C0 R: from c to b
	reaching          // of it, what is within the escape cone
	leaving           // of it, what the surface would let out
	sumLight1         // Σ of c: sent onward and back, into each cone
	sumLight2         //
	diffLight1        // Δ of c: back less onward
	diffLight2        //
	sumBeam1          // the same of b; its onward is up
	sumBeam2          //
	diffBeam1         // back (down) less onward (up), counted as up less down
	diffBeam2         //
	diffuseEnd        // what a sphere needs ends here
)

// What a view needs besides.
const (
	viewMirror = diffuseEnd + iota // C0 R at the local incidence of the view
	viewPhase                      // π μs p(Θ)/(μ0 μv n²)
	viewFade                       // ev: towards the view
	coneFade                       // e1: within the first cone
	terms
)

type coefficients [terms]float64

// view is one direction from which a film is seen.
type view struct {
	mu      float64             // cosine in the binder
	lobe    float64             // π D/(n² μv): radiance factor per share of b, before the surface
	local   [nodes]float64      // interpolates R at the view's local incidence, times p0/μ0
	onward  [nodes]float64      // interpolates R and A at the view's own incidence
	cone    [nodes]float64      // their mean over the first cone
	scatter [orders + 1]float64 // P_l(cos Θ)
}

func newView(c *cones, g *grid, slope float64, e *entry, out vec) *view {
	v := &view{mu: -out[2]}
	var m vec
	v.lobe, m = e.lobe(c, slope, out)
	v.local = g.at(math.Abs(e.d.dot(m)))
	for q := range v.local {
		v.local[q] *= e.p0 / e.d[2]
	}
	v.onward = g.at(v.mu)
	v.cone = g.at(c.cosine[0])
	mie.Legendre(e.d.dot(out), v.scatter[:])
	return v
}

// lobe returns the radiance factor towards out, in the binder, per share of b,
// and the normal of the flakes that mirror there.
func (e *entry) lobe(c *cones, slope float64, out vec) (float64, vec) {
	m := e.d.plus(out.scaled(-1)).unit()
	if m[2] < 0 {
		m = m.scaled(-1)
	}
	return math.Pi * slopeDensity(m, slope) / (4 * e.p0 * m[2] * m[2] * m[2] * c.index * c.index * -out[2]), m
}

// prepare fills the coefficients of one powder in one band, per mg/cm².
func (f *facet) prepare(p *Powder, band int, k *coefficients) {
	*k = coefficients{}
	if p.FaceArea > 0 {
		f.flakes(p, band, k)
	}
	if p.MuS[band] > 0 || p.MuA[band] > 0 {
		f.grains(p, band, k)
	}
	c := f.cones
	for i := range 2 {
		k[sumLight1+i] /= c.root[i]
		k[diffLight1+i] /= c.root[i]
		k[sumBeam1+i] /= c.root[i]
		k[diffBeam1+i] /= c.root[i]
	}
}

func (f *facet) flakes(p *Powder, band int, k *coefficients) {
	area, mix, e, of := p.FaceArea, f.mixing, f.entry, p.faces(band)
	r, _ := of.over(&mix.exchange)
	k[exchange] += area * r
	r, _ = of.over(&mix.turned)
	k[turned] += area * r
	for i := range 2 {
		r, _ = of.over(&mix.back[i])
		k[back1+i] += area * r
		_, a := of.over(&mix.absorption[i])
		k[absorb1+i] += area * a
		down, _ := of.over(&e.down[i])
		up, _ := of.over(&e.up[i])
		k[sumBeam1+i] += area * (down + up)
		k[diffBeam1+i] += area * (up - down)
	}
	r, a := of.over(&e.met)
	k[mirror] += area * r
	r1, _ := of.over(&e.reaching)
	r2, _ := of.over(&e.leaving)
	k[reaching] += area * r1
	k[leaving] += area * r2
	k[fadeLight] += area * (r + a)
	r, a = of.over(&e.beam)
	k[fadeBeam] += area * (r + a)
	if v := f.view; v != nil {
		r, _ = of.over(&v.local)
		k[viewMirror] += area * r
		r, a = of.over(&v.onward)
		k[viewFade] += area * (r + a)
		r, a = of.over(&v.cone)
		k[coneFade] += area * (r + a)
	}
}

func (f *facet) grains(p *Powder, band int, k *coefficients) {
	c, e := f.cones, f.entry
	mus, mua := p.MuS[band], p.MuA[band]
	// Sums over the orders of the phase function's moments.
	var onward, back, within float64 // σ_j l_j F_kj and B_kj between cones; Δ_k B_kk
	var within2 float64
	var light, beam [2][2]float64 // [even, odd orders][cone]
	scatter := 0.0
	last := max(1, min(len(p.Moments), orders+1))
	sign := 1.0
	for l := range last {
		w := float64(2*l+1) * p.moment(l, band)
		i := &c.integral[l]
		cross := w * i[0] * i[1]
		onward += cross
		back += sign * cross
		within += sign * w * i[0] * i[0] / 2
		within2 += sign * w * i[1] * i[1] / 2
		for j := range 2 {
			light[l&1][j] += w * i[j] * e.light[l] / 2
			beam[l&1][j] += w * i[j] * e.mirror[l] / 2
		}
		if f.view != nil {
			scatter += w * f.view.scatter[l]
		}
		sign = -sign
	}
	g, cut := p.moment(1, band), 0.0
	if g > 0 { // a peak behind is none to go on with the beam
		cut = p.moment(2, band)
	}
	// Scaled so that thick films diffuse as they should.
	kappa := 3 * (c.width[0]*c.cosine[0]*c.cosine[0] + c.width[1]*c.cosine[1]*c.cosine[1])
	apart, along := c.cosine[0]-c.cosine[1], c.cosine[0]+c.cosine[1]
	loss := 2*(c.cosine[0]*c.cosine[0]*within+c.cosine[1]*c.cosine[1]*within2) + (apart*apart*onward+along*along*back)/2
	d := 0.0
	if loss > 0 {
		d = mus * kappa * kappa * (1 - g) / 3 / loss
	}
	k[exchange] += d * (onward + back)
	k[turned] += d * (back - onward)
	k[back1] += d * c.path[0] * within / c.width[0]
	k[back2] += d * c.path[1] * within2 / c.width[1]
	for j := range 2 {
		k[absorb1+j] += mua * c.path[j]
		// Even and odd orders add onward and differ back.
		on, off := light[0][j]+light[1][j], light[0][j]-light[1][j]
		if c.of(e.d[2]) == j {
			on -= cut / e.d[2]
		}
		k[sumLight1+j] += mus * (on + off)
		k[diffLight1+j] += mus * (off - on)
		on, off = beam[0][j]+beam[1][j]-cut*e.invIn[j], beam[0][j]-beam[1][j]
		k[sumBeam1+j] += mus * (on + off)
		k[diffBeam1+j] += mus * (on - off)
	}
	s := mus*(1-cut) + mua
	k[fadeLight] += s / e.d[2]
	k[fadeBeam] += s * e.inv
	if v := f.view; v != nil {
		k[viewPhase] += mus * scatter / (4 * e.d[2] * v.mu * c.index * c.index)
		k[viewFade] += s / v.mu
		k[coneFade] += s * c.path[0]
	}
}

// Prepared is a powder made ready for one Reader: its coefficients per mg/cm²
// by facet and band.
type Prepared struct {
	facet [][colour.Bands]coefficients
}
