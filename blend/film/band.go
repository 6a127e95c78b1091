package film

import "math"

// boundary is the surface above a film as one facet's readings meet it.
type boundary struct {
	rd      float64 // of what comes up in the first cone, turned back; of the second all is
	root    pair    // √σ
	product float64 // √σ1 √σ2
	byCone  float64 // reading per light coming up in the first cone
	byBeam  float64 // reading per b let out
	byLobe  float64 // reading per b at the view's local incidence
}

// pair is a value for each cone. The compiler keeps it in registers, as it does
// not an array.
type pair struct{ x, y float64 }

// symmetric is a symmetric 2×2 matrix.
type symmetric struct{ a, b, c float64 } // 11, 12, 22

func (m *symmetric) det() float64 { return m.a*m.c - m.b*m.b }

func (m *symmetric) times(v pair) pair {
	return pair{m.a*v.x + m.b*v.y, m.b*v.x + m.c*v.y}
}

// adjugate is adj(m)·v.
func (m *symmetric) adjugate(v pair) pair {
	return pair{m.c*v.x - m.b*v.y, m.a*v.y - m.b*v.x}
}

// overOne is (1+m)⁻¹.
func (m *symmetric) overOne() symmetric {
	q := 1 / ((1+m.a)*(1+m.c) - m.b*m.b)
	return symmetric{(1 + m.c) * q, -m.b * q, (1 + m.a) * q}
}

// backOverOne returns derivatives by m from derivatives by out = (1+m)⁻¹.
func (by *symmetric) backOverOne(out *symmetric) symmetric {
	// d out = −out dm out; by.b counts both off-diagonal places.
	half := by.b / 2
	x := out.a*by.a + out.b*half
	y := out.a*half + out.b*by.c
	z := out.b*by.a + out.c*half
	w := out.b*half + out.c*by.c
	return symmetric{-(x*out.a + y*out.b), -(x*out.b + y*out.c + z*out.a + w*out.b), -(z*out.b + w*out.c)}
}

// outer adds derivatives by m of u·(m v).
func (by *symmetric) outer(u, v pair) {
	by.a += u.x * v.x
	by.b += u.x*v.y + u.y*v.x
	by.c += u.y * v.y
}

// adjOuter adds derivatives by m of u·(adj(m) v).
func (by *symmetric) adjOuter(u, v pair) {
	by.c += u.x * v.x
	by.b -= u.x*v.y + u.y*v.x
	by.a += u.y * v.y
}

func dot(u, v pair) float64 { return u.x*v.x + u.y*v.y }

func (u pair) plus(v pair) pair { return pair{u.x + v.x, u.y + v.y} }

func (u pair) scaled(s float64) pair { return pair{u.x * s, u.y * s} }

// mean is (1 − e^−x)/x, the mean of e^−xz over the film's depth, and its
// derivative; fading is e^−x.
func mean(x, fading float64) (m, by float64) {
	if x < 0.02 {
		// The next terms are below 1e-16 of the first.
		m = 1 - x/2*(1-x/3*(1-x/4*(1-x/5*(1-x/6*(1-x/7)))))
		by = -0.5 * (1 - x*2/3*(1-x*3/8*(1-x*4/15*(1-x*5/24*(1-x*6/35)))))
		return m, by
	}
	m = (1 - fading) / x
	return m, (fading - m) / x
}

// band is a film in one band, solved, with all that going back needs.
type band struct {
	k      coefficients
	s      *boundary
	ground float64

	g, e       symmetric // A−B and A+B
	detG, detE float64
	trace      float64    // of M = EG
	fade       [2]float64 // e0, eb
	left       [2]float64 // e^−e0, e^−eb
	h          hyperbolic
	f          level
	w, y       symmetric // admittances of the even and the odd half
	aw, ay     symmetric // (1+W)⁻¹, (1+Y)⁻¹
	over       symmetric // R of film on ground
	tv         pair
	rest       float64 // 1/(1 − Rg v·Rv)
	solve      float64 // 1/det of the boundary's system
	z          pair
	kappa      float64
	p, q       pair
	gp, ph, pt pair // G p, adjE p, adjG adjE p
	eq, qh, qt pair // E q, adjG q, adjE adjG q
	light      source
	beam       source
	rho        float64 // C0 R/(e0+eb)
	perRate    float64 // 1/(e0+eb)
	through    float64 // mean of e^−(e0+eb)z
	throughBy  float64
	top        pair    // R̂z, the reading per light turned back at the surface
	atTop      float64 // the reading of b that comes up, per b's fading
	toView     float64 // means of e^−ez towards the view and within the first cone
	inCone     float64
	toViewBy   float64
	inConeBy   float64
}

// source is ∫ of sources Σ e^−ez, Δ e^−ez against the fields p and q.
type source struct {
	sum, diff      pair
	sign           float64 // +1 fading downwards, −1 upwards
	u1, u2, u3, u4 float64
	half           float64 // ½(1 + e^−e)
	inner          float64
}

// integrate is the reading of sources that fade as beam i does.
func (b *band) integrate(s *source, i int) float64 {
	t, d := &b.f.t[i], &b.f.d[i]
	s.u1 = dot(s.sum, b.p) + dot(s.diff, b.q)
	s.u2 = dot(s.sum, b.pt) + dot(s.diff, b.qt)
	s.u3 = dot(s.diff, b.gp) + dot(s.sum, b.eq)
	s.u4 = b.detG*dot(s.diff, b.ph) + b.detE*dot(s.sum, b.qh)
	s.half = (1 + b.left[i]) / 2
	s.inner = t.one*s.u1 + t.adj*s.u2 + s.sign*b.fade[i]*(d.one*s.u3+d.adj*s.u4)
	return s.half * s.inner
}

// matrices makes E and G of the coefficients.
func (b *band) matrices() {
	k, s := &b.k, b.s
	s1, s2 := s.root.x*s.root.x, s.root.y*s.root.y
	b.g = symmetric{k[exchange]/s1 + k[absorb1], -k[exchange] / s.product, k[exchange]/s2 + k[absorb2]}
	b.e = symmetric{b.g.a + 2*k[back1], k[turned] / s.product, b.g.c + 2*k[back2]}
	// Of G's determinant the exchange cancels, and must not be left to rounding.
	b.detG = k[exchange]*(k[absorb1]/s2+k[absorb2]/s1) + k[absorb1]*k[absorb2]
	b.detE = b.e.det()
	b.trace = b.e.a*b.g.a + 2*b.e.b*b.g.b + b.e.c*b.g.c
}

// layer computes the film itself: the functions of M, and from them
// R = (1+W)⁻¹ − (1+Y)⁻¹, T = (1+W)⁻¹ + (1+Y)⁻¹ − 1.
func (b *band) layer(s *boundary) (r, t symmetric) {
	b.s = s
	b.matrices()
	k := &b.k
	b.fade = [2]float64{k[fadeLight], k[fadeBeam]}
	b.left = [2]float64{math.Exp(-b.fade[0]), math.Exp(-b.fade[1])}
	b.h.functions(b.trace, b.detE*b.detG, &b.fade, &b.f)
	one, adj := b.f.g.one, b.f.g.adj
	x := adj * b.detG
	b.w = symmetric{one*b.g.a + x*b.e.c, one*b.g.b - x*b.e.b, one*b.g.c + x*b.e.a}
	x = adj * b.detE
	b.y = symmetric{one*b.e.a + x*b.g.c, one*b.e.b - x*b.g.b, one*b.e.c + x*b.g.a}
	b.aw, b.ay = b.w.overOne(), b.y.overOne()
	r = symmetric{b.aw.a - b.ay.a, b.aw.b - b.ay.b, b.aw.c - b.ay.c}
	t = symmetric{b.aw.a + b.ay.a - 1, b.aw.b + b.ay.b, b.aw.c + b.ay.c - 1}
	return r, t
}

// read solves the film of coefficients k on its ground and returns the reading. By reciprocity
// it follows not the light but the reading's own sensitivity: z and κ√σ are the
// weights of light that starts down at the top and up at the ground, and fill
// the film with the fields P and Q that sources inside are weighed with.
func (b *band) read(s *boundary, ground float64) float64 {
	r, t := b.layer(s)
	k := &b.k
	b.ground = ground
	v := s.root
	b.tv = t.times(v)
	b.rest = 1 / (1 - ground*dot(v, r.times(v)))
	b.over = r
	b.over.a += ground * b.rest * b.tv.x * b.tv.x
	b.over.b += ground * b.rest * b.tv.x * b.tv.y
	b.over.c += ground * b.rest * b.tv.y * b.tv.y
	b.reflect()
	b.kappa = ground * b.rest * dot(b.tv, b.z)
	b.p = b.aw.times(b.z.plus(v.scaled(b.kappa)))
	b.q = b.ay.times(b.z.plus(v.scaled(-b.kappa)))
	b.gp, b.ph = b.g.times(b.p), b.e.adjugate(b.p)
	b.eq, b.qh = b.e.times(b.q), b.g.adjugate(b.q)
	b.pt, b.qt = b.g.adjugate(b.ph), b.e.adjugate(b.qh)

	rate := b.fade[0] + b.fade[1]
	b.perRate = 0
	if rate > 1e-200 {
		b.perRate = 1 / rate
	}
	b.rho = k[mirror] * b.perRate
	both := b.left[0] * b.left[1]
	b.through, b.throughBy = mean(rate, both)
	c, m := &b.light, &b.beam
	c.sign, m.sign = 1, -1
	m.sum, m.diff = pair{k[sumBeam1], k[sumBeam2]}, pair{k[diffBeam1], k[diffBeam2]}
	c.sum = pair{k[sumLight1], k[sumLight2]}.plus(m.sum.scaled(b.rho))
	c.diff = pair{k[diffLight1], k[diffLight2]}.plus(m.diff.scaled(b.rho))
	reading := b.integrate(c, 0) - b.rho*b.left[0]*b.integrate(m, 1)
	reading += b.kappa * b.left[0]
	b.top = b.over.times(b.z)
	b.atTop = dot(b.turned(), b.top) + k[leaving]*s.byBeam
	reading += b.through * b.atTop
	return reading + b.view()
}

// turned is what the surface turns back of b into each cone, over √σ, per b's
// fading.
func (b *band) turned() pair {
	k, s := &b.k, b.s
	return pair{(k[reaching] - k[leaving]) / s.root.x, (k[mirror] - k[reaching]) / s.root.y}
}

// reflect solves the surface over R of all below it: z = e + K R z, with e the
// reading's sensitivity and K what the surface turns back.
func (b *band) reflect() {
	o, s := &b.over, b.s
	b.solve = 1 / ((1-s.rd*o.a)*(1-o.c) - s.rd*o.b*o.b)
	first := s.byCone * s.root.x * b.solve
	b.z = pair{first * (1 - o.c), first * o.b}
}

// view is what a view adds: b at its own local incidence, and its single
// scattering set right.
func (b *band) view() float64 {
	k, s := &b.k, b.s
	if s.byLobe == 0 && k[viewPhase] == 0 {
		return 0
	}
	b.toView, b.toViewBy = mean(k[fadeLight]+k[viewFade], b.left[0]*math.Exp(-k[viewFade]))
	b.inCone, b.inConeBy = mean(k[fadeLight]+k[coneFade], b.left[0]*math.Exp(-k[coneFade]))
	single := k[viewPhase]*b.toView - b.singleBack()*b.inCone
	return k[viewMirror]*b.through*s.byLobe + s.byCone*single
}

// singleBack is the model's own single scattering of c back into the first
// cone.
func (b *band) singleBack() float64 {
	return b.s.root.x * (b.k[sumLight1] + b.k[diffLight1]) / 2
}

// back fills by with the derivatives of the reading by every coefficient.
func (b *band) back(by *coefficients) {
	k, s, v := &b.k, b.s, b.s.root
	*by = coefficients{}
	var byLeft, byFade [2]float64
	var byP, byQ fields
	var f level
	byDetG, byDetE := 0.0, 0.0
	byRate := b.throughBy * b.atTop
	first, second := b.through*b.top.x/v.x, b.through*b.top.y/v.y
	by[reaching] = first - second
	by[leaving] = b.through*s.byBeam - first

	// A view's own.
	if s.byLobe != 0 || k[viewPhase] != 0 {
		by[viewMirror] = b.through * s.byLobe
		by[viewPhase] = s.byCone * b.toView
		by[viewFade] = s.byCone * k[viewPhase] * b.toViewBy
		by[coneFade] = -s.byCone * b.singleBack() * b.inConeBy
		byFade[0] += by[viewFade] + by[coneFade]
		by[sumLight1] -= s.byCone * b.inCone * v.x / 2
		by[diffLight1] -= s.byCone * b.inCone * v.x / 2
		byRate += b.throughBy * k[viewMirror] * s.byLobe
	}

	// The sources.
	sum, diff := b.backSource(&b.light, 1, 0, &f, &byP, &byQ, &byDetG, &byDetE, &byFade, &byLeft)
	by[sumLight1] += sum.x
	by[sumLight2] += sum.y
	by[diffLight1] += diff.x
	by[diffLight2] += diff.y
	byRho := dot(sum, b.beam.sum) + dot(diff, b.beam.diff)
	integral := b.beam.half * b.beam.inner
	byRho -= b.left[0] * integral
	byLeft[0] -= b.rho * integral
	again, apart := b.backSource(&b.beam, -b.rho*b.left[0], 1, &f, &byP, &byQ, &byDetG, &byDetE, &byFade, &byLeft)
	by[sumBeam1] = b.rho*sum.x + again.x
	by[sumBeam2] = b.rho*sum.y + again.y
	by[diffBeam1] = b.rho*diff.x + apart.x
	by[diffBeam2] = b.rho*diff.y + apart.y
	by[mirror] = second + byRho*b.perRate
	byRate -= byRho * b.rho * b.perRate
	byFade[0] += byRate
	byFade[1] += byRate
	byLeft[0] += b.kappa

	// The fields, down to p and q, then to z and κ.
	var byG, byE symmetric
	byP.hat = byP.hat.plus(b.g.adjugate(byP.tilde))
	byG.adjOuter(byP.tilde, b.ph)
	byQ.hat = byQ.hat.plus(b.e.adjugate(byQ.tilde))
	byE.adjOuter(byQ.tilde, b.qh)
	byP.plain = byP.plain.plus(b.e.adjugate(byP.hat))
	byE.adjOuter(byP.hat, b.p)
	byP.plain = byP.plain.plus(b.g.times(byP.times))
	byG.outer(byP.times, b.p)
	byQ.plain = byQ.plain.plus(b.g.adjugate(byQ.hat))
	byG.adjOuter(byQ.hat, b.q)
	byQ.plain = byQ.plain.plus(b.e.times(byQ.times))
	byE.outer(byQ.times, b.q)

	var byAw, byAy symmetric
	in := b.z.plus(v.scaled(b.kappa))
	byAw.outer(byP.plain, in)
	in = b.z.plus(v.scaled(-b.kappa))
	byAy.outer(byQ.plain, in)
	even, odd := b.aw.times(byP.plain), b.ay.times(byQ.plain)
	byZ := even.plus(odd)
	byKappa := dot(even, v) - dot(odd, v) + b.left[0]

	// The boundary. κ = Rg rest (Tv·z)
	turned := b.turned().scaled(b.through)
	scale := b.ground * b.rest
	byZ = byZ.plus(b.tv.scaled(byKappa * scale))
	byTv := b.z.scaled(byKappa * scale)
	byRest := byKappa * b.ground * dot(b.tv, b.z)
	var byOver symmetric
	byOver.outer(turned, b.z)
	byZ = byZ.plus(b.over.times(turned))
	// z = solve·e1·(1 − o.c, o.b)
	e1 := s.byCone * v.x
	o := &b.over
	bySolve := e1 * (byZ.x*(1-o.c) + byZ.y*o.b)
	byOver.c -= e1 * b.solve * byZ.x
	byOver.b += e1 * b.solve * byZ.y
	byDet := -bySolve * b.solve * b.solve
	byOver.a -= byDet * s.rd * (1 - o.c)
	byOver.c -= byDet * (1 - s.rd*o.a)
	byOver.b -= byDet * 2 * s.rd * o.b
	// over = R + scale Tv⊗Tv
	byScale := byOver.a*b.tv.x*b.tv.x + byOver.b*b.tv.x*b.tv.y + byOver.c*b.tv.y*b.tv.y
	byTv.x += scale * (2*byOver.a*b.tv.x + byOver.b*b.tv.y)
	byTv.y += scale * (2*byOver.c*b.tv.y + byOver.b*b.tv.x)
	byRest += byScale * b.ground
	byR := byOver
	turnedBack := byRest * b.rest * b.rest * b.ground // by v·Rv
	byR.a += turnedBack * v.x * v.x
	byR.b += turnedBack * 2 * v.x * v.y
	byR.c += turnedBack * v.y * v.y
	var byT symmetric
	byT.outer(byTv, v)
	// R = Aw − Ay, T = Aw + Ay − 1
	byAw.a += byR.a + byT.a
	byAw.b += byR.b + byT.b
	byAw.c += byR.c + byT.c
	byAy.a += byT.a - byR.a
	byAy.b += byT.b - byR.b
	byAy.c += byT.c - byR.c
	b.backLayer(by, byAw.backOverOne(&b.aw), byAy.backOverOne(&b.ay), byG, byE, byDetG, byDetE, &f, byFade, byLeft)
}

// fields are derivatives by a field and by what matrices made of it.
type fields struct{ plain, times, hat, tilde pair }

// backSource takes derivatives by an integral, times by, back to sources and
// fields.
func (b *band) backSource(s *source, by float64, i int, f *level, byP, byQ *fields, byDetG, byDetE *float64, byFade, byLeft *[2]float64) (bySum, byDiff pair) {
	t, d := &b.f.t[i], &b.f.d[i]
	byLeft[i] += by * s.inner / 2
	inner := by * s.half
	f.t[i].one += inner * s.u1
	f.t[i].adj += inner * s.u2
	byFade[i] += inner * s.sign * (d.one*s.u3 + d.adj*s.u4)
	strength := inner * s.sign * b.fade[i]
	f.d[i].one += strength * s.u3
	f.d[i].adj += strength * s.u4
	u1, u2 := inner*t.one, inner*t.adj
	u3, u4 := strength*d.one, strength*d.adj
	bySum = b.p.scaled(u1).plus(b.pt.scaled(u2)).plus(b.eq.scaled(u3)).plus(b.qh.scaled(u4 * b.detE))
	byDiff = b.q.scaled(u1).plus(b.qt.scaled(u2)).plus(b.gp.scaled(u3)).plus(b.ph.scaled(u4 * b.detG))
	byP.plain = byP.plain.plus(s.sum.scaled(u1))
	byP.tilde = byP.tilde.plus(s.sum.scaled(u2))
	byP.times = byP.times.plus(s.diff.scaled(u3))
	byP.hat = byP.hat.plus(s.diff.scaled(u4 * b.detG))
	byQ.plain = byQ.plain.plus(s.diff.scaled(u1))
	byQ.tilde = byQ.tilde.plus(s.diff.scaled(u2))
	byQ.times = byQ.times.plus(s.sum.scaled(u3))
	byQ.hat = byQ.hat.plus(s.sum.scaled(u4 * b.detE))
	*byDetG += u4 * dot(s.diff, b.ph)
	*byDetE += u4 * dot(s.sum, b.qh)
	return bySum, byDiff
}

// backLayer takes derivatives by W, Y and the rest back to the coefficients.
func (b *band) backLayer(by *coefficients, byW, byY, byG, byE symmetric, byDetG, byDetE float64, f *level, byFade, byLeft [2]float64) {
	k, s := &b.k, b.s
	one, adj := b.f.g.one, b.f.g.adj
	// W = one G + adj detG adj(E)
	f.g.one += byW.a*b.g.a + byW.b*b.g.b + byW.c*b.g.c + byY.a*b.e.a + byY.b*b.e.b + byY.c*b.e.c
	w := byW.a*b.e.c - byW.b*b.e.b + byW.c*b.e.a
	y := byY.a*b.g.c - byY.b*b.g.b + byY.c*b.g.a
	f.g.adj += w*b.detG + y*b.detE
	byDetG += w * adj
	byDetE += y * adj
	x := adj * b.detG
	byG.a += one * byW.a
	byG.b += one * byW.b
	byG.c += one * byW.c
	byE.c += x * byW.a
	byE.b -= x * byW.b
	byE.a += x * byW.c
	x = adj * b.detE
	byE.a += one * byY.a
	byE.b += one * byY.b
	byE.c += one * byY.c
	byG.c += x * byY.a
	byG.b -= x * byY.b
	byG.a += x * byY.c

	byTrace, byDet, byFadeToo := b.h.back(f, &b.fade)
	byDetE += byDet * b.detG
	byDetG += byDet * b.detE
	byE.a += byTrace*b.g.a + byDetE*b.e.c
	byE.b += 2*byTrace*b.g.b - 2*byDetE*b.e.b
	byE.c += byTrace*b.g.c + byDetE*b.e.a
	byG.a += byTrace * b.e.a
	byG.b += 2 * byTrace * b.e.b
	byG.c += byTrace * b.e.c
	for i := range 2 {
		byFade[i] += byFadeToo[i] - b.left[i]*byLeft[i]
	}
	by[fadeLight], by[fadeBeam] = byFade[0], byFade[1]

	byG.a += byE.a
	byG.c += byE.c
	by[back1], by[back2] = 2*byE.a, 2*byE.c
	by[turned] = byE.b / s.product
	s1, s2 := s.root.x*s.root.x, s.root.y*s.root.y
	by[exchange] = byG.a/s1 - byG.b/s.product + byG.c/s2 + byDetG*(k[absorb1]/s2+k[absorb2]/s1)
	by[absorb1] = byG.a + byDetG*(k[exchange]/s2+k[absorb2])
	by[absorb2] = byG.c + byDetG*(k[exchange]/s1+k[absorb1])
}
