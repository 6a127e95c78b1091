package film

// doubled is the level of a film twice as thick; y is e² and thick the factor
// of M, both at this level's thickness.
func (l *level) doubled(t, d, thick float64, y *[2]float64) (out level) {
	tau := l.g.timesM(t, d).scaled(thick)
	n := l.g.times(tau, t, d)
	n.one++
	over := n.inverse(t, d)
	out.g = l.g.times(over, t, d)
	for i := range 2 {
		g := l.at[i]
		ty := y[i] * g
		s := 1 / (1 + g*ty)
		out.at[i] = g * s
		inner := l.d[i].plus(l.g.times(l.t[i], t, d).scaled(g))
		out.d[i] = inner.times(over, t, d).scaled(s / 4)
		inner = l.t[i].plus(tau.times(l.d[i], t, d).scaled(ty))
		out.t[i] = inner.times(over, t, d).scaled(s)
	}
	return out
}

// slope is a derivative of the reading by each of a level's parts, and by t, d
// and e².
type slope struct {
	level
	byT, byD float64
	byY      [2]float64
}

// halved takes the derivatives by a doubled level back to the level l it came
// from.
func (l *level) halved(t, d, thick float64, y *[2]float64, s *slope) {
	tau := l.g.timesM(t, d).scaled(thick)
	n := l.g.times(tau, t, d)
	n.one++
	over := n.inverse(t, d)
	out := s.level
	s.level = level{}
	var byTau, byOver elem
	s.product(l.g, over, out.g, t, d, &s.g, &byOver)
	for i := range 2 {
		g := l.at[i]
		ty := y[i] * g
		q := 1 / (1 + g*ty)
		// D
		gt := l.g.times(l.t[i], t, d)
		inner := l.d[i].plus(gt.scaled(g))
		plain := inner.times(over, t, d)
		byQ := (out.d[i].one*plain.one + out.d[i].adj*plain.adj) / 4
		var byInner elem
		s.product(inner, over, out.d[i].scaled(q/4), t, d, &byInner, &byOver)
		s.level.d[i] = s.level.d[i].plus(byInner)
		byG := byInner.one*gt.one + byInner.adj*gt.adj
		s.product(l.g, l.t[i], byInner.scaled(g), t, d, &s.g, &s.level.t[i])
		// T
		td := tau.times(l.d[i], t, d)
		inner = l.t[i].plus(td.scaled(ty))
		plain = inner.times(over, t, d)
		byQ += out.t[i].one*plain.one + out.t[i].adj*plain.adj
		byInner = elem{}
		s.product(inner, over, out.t[i].scaled(q), t, d, &byInner, &byOver)
		s.level.t[i] = s.level.t[i].plus(byInner)
		byTy := byInner.one*td.one + byInner.adj*td.adj
		s.product(tau, l.d[i], byInner.scaled(ty), t, d, &byTau, &s.level.d[i])
		// at = g q, q = 1/(1 + g·ty), ty = y g
		byQ += out.at[i] * g
		byG += out.at[i] * q
		byQ *= -q * q
		byG += byQ * ty
		byTy += byQ * g
		byG += byTy * y[i]
		s.byY[i] += byTy * g * thick
		s.level.at[i] = byG
	}
	s.inverse(n, byOver, t, d, &n)
	s.product(l.g, tau, n, t, d, &s.g, &byTau)
	byTau = byTau.scaled(thick)
	s.g.one += byTau.one*t - byTau.adj
	s.g.adj += byTau.one * d
	s.byT += byTau.one * l.g.one
	s.byD += byTau.one * l.g.adj
}

// product adds to byA and byB what derivatives by a·b say of a and b, and to
// byT and byD what they say of M.
func (s *slope) product(a, b, by elem, t, d float64, byA, byB *elem) {
	byA.one += by.one*b.one + by.adj*b.adj
	byA.adj += by.adj*(b.one+b.adj*t) - by.one*b.adj*d
	byB.one += by.one*a.one + by.adj*a.adj
	byB.adj += by.adj*(a.one+a.adj*t) - by.one*a.adj*d
	s.byT += by.adj * a.adj * b.adj
	s.byD -= by.one * a.adj * b.adj
}

// inverse sets byA from derivatives by the inverse of a.
func (s *slope) inverse(a, by elem, t, d float64, byA *elem) {
	q := 1 / (a.one*a.one + a.one*a.adj*t + a.adj*a.adj*d)
	byQ := -(by.one*(a.one+a.adj*t) - by.adj*a.adj) * q * q
	*byA = elem{
		by.one*q + byQ*(2*a.one+a.adj*t),
		(by.one*t-by.adj)*q + byQ*(a.one*t+2*a.adj*d),
	}
	s.byT += by.one*a.adj*q + byQ*a.one*a.adj
	s.byD += byQ * a.adj * a.adj
}

// back takes derivatives by what functions returned back to t, d and e.
func (h *hyperbolic) back(by *level, e *[2]float64) (byT, byD float64, byE [2]float64) {
	s := slope{level: *by}
	if h.doublings > 0 {
		s.rescale(h.scale)
	}
	thick := 1 / h.scale
	for n := h.doublings - 1; n >= 0; n-- {
		thick /= 4
		y := [2]float64{h.y[0] * thick, h.y[1] * thick}
		h.levels[n].halved(h.t, h.d, thick, &y, &s)
	}
	for i := range 2 {
		s.level.d[i].one += s.level.t[i].adj
	}
	g, d0, d1 := s.g, s.level.d[0], s.level.d[1]
	t0, t1 := s.level.t[0].one, s.level.t[1].one
	at0, at1 := s.level.at[0], s.level.at[1]
	var byY0, byY1 float64
	for j := range poles {
		p := pole[j]
		over, n0, n1 := h.over[j][0], h.over[j][1], h.over[j][2]
		r := weight[j] * over
		sum0 := (d0.adj + p*(d0.one+p*t0)) * n0
		sum1 := (d1.adj + p*(d1.one+p*t1)) * n1
		byY0 -= (r*sum0 + weight[j]*at0*n0) * n0
		byY1 -= (r*sum1 + weight[j]*at1*n1) * n1
		byQ := -(g.adj + p*g.one + sum0 + sum1) * r * over
		byT += byQ * p
		byD += byQ
	}
	byE[0] = 2 * e[0] * h.scale * (s.byY[0] + byY0)
	byE[1] = 2 * e[1] * h.scale * (s.byY[1] + byY1)
	return (s.byT + byT) * h.scale, (s.byD + byD) * h.scale * h.scale, byE
}
