package film

import (
	"math"
	"math/rand/v2"
	"testing"

	"tawny/colour"
)

// integrated is a film's reading by the equations of the package's doc, stepped
// from the top to the ground by Runge and Kutta's rule: c and b are known, streams
// start from what the surface turns back, and two unknown J at the top are set by
// the ground.
func integrated(k *coefficients, s *boundary, ground float64) float64 {
	var b band
	b.k = *k
	b.layer(s)
	a := matrix{{(b.e.a + b.g.a) / 2, (b.e.b + b.g.b) / 2}, {(b.e.b + b.g.b) / 2, (b.e.c + b.g.c) / 2}}
	back := matrix{{(b.e.a - b.g.a) / 2, (b.e.b - b.g.b) / 2}, {(b.e.b - b.g.b) / 2, (b.e.c - b.g.c) / 2}}
	light := func(z float64) float64 { return math.Exp(-k[fadeLight] * z) }
	beam := func(z float64) float64 { // b = 0 at the ground
		return k[mirror] / (k[fadeLight] + k[fadeBeam]) * (light(z) - light(1)*math.Exp(-k[fadeBeam]*(1-z)))
	}
	type state [4]float64 // I1, I2, J1, J2, over √σ
	slope := func(z float64, v state, sources float64) (d state) {
		c, up := sources*light(z), sources*beam(z)
		for i := range 2 {
			d[i] = (k[sumLight1+i]-k[diffLight1+i])/2*c + (k[sumBeam1+i]-k[diffBeam1+i])/2*up
			d[2+i] = -(k[sumLight1+i]+k[diffLight1+i])/2*c - (k[sumBeam1+i]+k[diffBeam1+i])/2*up
			for j := range 2 {
				d[i] += -a[i][j]*v[j] + back[i][j]*v[2+j]
				d[2+i] += a[i][j]*v[2+j] - back[i][j]*v[j]
			}
		}
		return d
	}
	down := func(v state, sources float64) state {
		const steps = 1000
		h := 1.0 / steps
		add := func(v, d state, by float64) (w state) {
			for i := range v {
				w[i] = v[i] + by*d[i]
			}
			return w
		}
		for n := range steps {
			z := float64(n) * h
			k1 := slope(z, v, sources)
			k2 := slope(z+h/2, add(v, k1, h/2), sources)
			k3 := slope(z+h/2, add(v, k2, h/2), sources)
			k4 := slope(z+h, add(v, k3, h), sources)
			for i := range v {
				v[i] += h / 6 * (k1[i] + 2*k2[i] + 2*k3[i] + k4[i])
			}
		}
		return v
	}
	root := [2]float64{s.root.x, s.root.y}
	let, reach := 0.0, 0.0 // τ, τc
	if k[mirror] > 0 {
		let, reach = k[leaving]/k[mirror], k[reaching]/k[mirror]
	}
	b0 := beam(0)
	// By superposition: what comes of the sources, and of a unit of J1 and of J2.
	parts := [3]state{
		down(state{(reach - let) * b0 / root[0], (1 - reach) * b0 / root[1]}, 1),
		down(state{s.rd, 0, 1, 0}, 0),
		down(state{0, 1, 0, 1}, 0),
	}
	var m matrix
	var want [2]float64
	for i := range 2 {
		short := func(v state, c float64) float64 { // of J at the ground
			return v[2+i] - ground*root[i]*(root[0]*v[0]+root[1]*v[1]+c)
		}
		want[i] = -short(parts[0], light(1))
		m[i][0], m[i][1] = short(parts[1], 0), short(parts[2], 0)
	}
	in := m.inverse()
	j1 := in[0][0]*want[0] + in[0][1]*want[1]
	reading := s.byCone*root[0]*j1 + s.byBeam*let*b0
	if k[mirror] > 0 {
		reading += s.byLobe * b0 * k[viewMirror] / k[mirror]
	}
	if s.byBeam == 0 { // a view: single scattering in place of the cone's mean
		over := func(rate float64) float64 { return -math.Expm1(-rate) / rate }
		single := root[0] * (k[sumLight1] + k[diffLight1]) / 2
		reading += s.byCone * (k[viewPhase]*over(k[fadeLight]+k[viewFade]) - single*over(k[fadeLight]+k[coneFade]))
	}
	return reading
}

// What is read of a film is what its equations say, in every geometry, over any
// ground, with flakes and grains.
func TestReadingSolvesTheEquations(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 3))
	worst := 0.0
	for _, lay := range []Lay{{1.47, 10, 0, 0}, {1.4, 25, 0, 0}} {
		for _, r := range allReaders(t, mustFilm(t, lay)) {
			for range 8 {
				ready := []*Prepared{r.Prepare(sample(rng, true)), r.Prepare(sample(rng, true))}
				size := math.Pow(10, -2+1.2*rng.Float64()) // thicker ones swamp what is stepped
				mass := []float64{size * rng.Float64(), size * rng.Float64()}
				ground := rng.Float64()
				var w workspace
				got := r.read(&w, 0, 7, ground, ready, mass, false)
				want := integrated(&w.k, &r.facets[0].boundary, ground)
				worst = max(worst, math.Abs(got-want))
				if !(math.Abs(got-want) < 1e-9) {
					t.Fatalf("%s, ground %.2f, masses %v: %.12g, by steps %.12g", r.way, ground, mass, got, want)
				}
			}
		}
	}
	t.Logf("worst %.1e", worst)
}

// Flakes alike at every angle: each coefficient of them is a rate of meeting faces
// times R or 1 − T, and the rates of what is met add up.
func TestFlakesAreMetAndMirrored(t *testing.T) {
	const area, r, a = 5.0, 0.3, 0.1
	p := &Powder{FaceArea: area, R: []colour.Spectrum{colour.Constant(r)}, T: []colour.Spectrum{colour.Constant(1 - r - a)}}
	f := mustFilm(t, Lay{Index: 1.47, TiltDeg: 20})
	reader, err := f.Angle(45)
	if err != nil {
		t.Fatal(err)
	}
	k := &reader.Prepare(p).facet[0][3]
	e, c := f.entry(towards(45)[2]), f.cones
	met := area * e.p0 / e.d[2]
	holds(t, "of the light", k[fadeLight], met*(r+a), 1e-9)
	holds(t, "mirrored", k[mirror], met*r, 1e-9)
	holds(t, "of it let out", k[leaving], met*r*e.tau, 1e-6)
	holds(t, "towards the view", k[viewFade], area*(r+a), 1e-9)
	holds(t, "within the cone", k[coneFade], area*(r+a), 1e-9)
	holds(t, "mirrored to the view", k[viewMirror], met*r, 1e-9)
	if !(k[leaving] < k[reaching] && k[reaching] < k[mirror]) {
		t.Errorf("mirrored %g, within the cone %g, let out %g", k[mirror], k[reaching], k[leaving])
	}
	// b is met at its rate: taken from it is r + a, and r of that comes back as streams.
	sent := 0.0
	for i := range 2 {
		sent += c.root[i] * k[sumBeam1+i]
	}
	holds(t, "of the beam, sent on as streams", sent, k[fadeBeam]*r/(r+a), 1e-9)
	for i := range 2 {
		// Streams lose to a cone by both mirroring and absorbing: A is per path.
		if !(k[absorb1+i] > 0 && k[back1+i] > 0) {
			t.Errorf("cone %d: absorbed %g, turned back %g", i+1, k[absorb1+i], k[back1+i])
		}
		holds(t, "absorbed to mirrored", k[absorb1+i]/f.mixingTotal(i)/area, a, 1e-9)
	}
	// Flat flakes turn all of a cone back into itself, and nothing is exchanged.
	f = mustFilm(t, Lay{Index: 1.47})
	reader = mustReader(t, f, colour.DI)
	k = &reader.Prepare(p).facet[0][3]
	for i := range 2 {
		holds(t, "flat, turned back", k[back1+i], area*r, 1e-9)
		holds(t, "flat, absorbed", k[absorb1+i], area*a, 1e-9)
	}
	holds(t, "flat, exchanged", k[exchange], 0, 1e-12)
	holds(t, "flat, turned into the other", k[turned], 0, 1e-12)
}

// mixingTotal is how often a stream meets faces, per area of them.
func (f *Film) mixingTotal(cone int) (sum float64) {
	for _, w := range f.mixing.absorption[cone] {
		sum += w
	}
	return sum
}

// Grains that scatter alike every way send light from a stream and from both beams
// by the widths of the cones and the light's own path, as much on as back.
func TestGrainsSendLightByWidth(t *testing.T) {
	const mus, mua = 2.0, 0.5
	p := &Powder{MuS: colour.Constant(mus), MuA: colour.Constant(mua)}
	f := mustFilm(t, Lay{Index: 1.47, TiltDeg: 10})
	reader := mustReader(t, f, colour.At45)
	k := &reader.Prepare(p).facet[0][3]
	e, c := f.entry(towards(45)[2]), f.cones
	holds(t, "light's fading", k[fadeLight], (mus+mua)/e.d[2], 1e-12)
	holds(t, "beam's fading", k[fadeBeam], (mus+mua)*e.inv, 1e-12)
	holds(t, "towards the view", k[viewFade], mus+mua, 1e-9)
	holds(t, "within the cone", k[coneFade], (mus+mua)*c.path[0], 1e-12)
	for i := range 2 {
		holds(t, "absorbed", k[absorb1+i], mua*c.path[i], 1e-12)
		// Of isotropic light half a cone's width goes down, half up.
		holds(t, "from the light", k[sumLight1+i]*c.root[i], mus*c.width[i]/e.d[2], 1e-12)
		holds(t, "as much on as back", k[diffLight1+i], 0, 1e-12)
		holds(t, "from the beam", k[sumBeam1+i]*c.root[i], mus*c.width[i]*e.inv, 1e-9)
		holds(t, "of the beam, on as back", k[diffBeam1+i], 0, 1e-12)
	}
	// Shares of a stream sent to cone k are Δ_k on and Δ_k back of 2; per path.
	each := func(j, i int) float64 { return mus * c.path[j] * c.width[i] / 2 }
	scale := k[back1] / each(0, 0) // d: thick films diffuse as they should
	holds(t, "second cone, back", k[back2], scale*each(1, 1), 1e-12)
	holds(t, "between cones", k[exchange], scale*c.sigma[0]*2*each(0, 1), 1e-12)
	holds(t, "between cones, turned", k[turned], 0, 1e-12)
}
