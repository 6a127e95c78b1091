package search

import (
	"math"

	"tawny/colour"
	"tawny/colour/leastsquares"
)

// isFamily reports whether a candidate is one of a whole family of exact
// answers: one colour fixes three numbers, so four powders of free load can
// keep it along a line.
func (k *ranker) isFamily(c *candidate) bool {
	p := k.problem
	return c.count == 4 && len(p.views) == 1 && p.band == nil && p.sumLo < p.sumHi &&
		k.search.found[c.id].f < familyExact
}

const (
	familyExact = 1e-6  // f up to which a mixture is corrected onto the line; ΔE00 0.001
	familyStep  = 0.02  // share walked between two looks
	familyEnd   = 1e-7  // a step shorter than this has met a bound
	familyTie   = 1e-12 // shift² that two members may differ by and count as the same
)

// family walks the line of mixtures of four powders that have the target's
// colour exactly.
type family struct {
	e        *evaluator
	v        *view
	p        *problem
	best     [MostParts]float64
	shift    float64 // squared, of best
	amount   float64
	from, to *colour.Viewing
	walked   [][MostParts]float64
}

// leastShift moves m along its family to the member with the least shift
// between lights, then the least powder.
func (k *ranker) leastShift(e *evaluator, m *found) {
	start := present(k.problem, m)
	e.choose(start.subset(&[MostParts]int{}))
	f := &family{e: e, v: &k.problem.views[0], p: k.problem, from: k.request.Light, to: k.request.Second}
	x := start.x
	if !f.correct(&x) {
		return
	}
	// A start on a bound may have been brought past it by a rounding: it is no
	// member then, but what lies along the line from it is.
	f.shift = math.Inf(1)
	if f.inside(&x) {
		f.look(&x)
	}
	f.walk(x, 1)
	f.walk(x, -1)
	// A strong pigment can bend the line so that the bounds cut it in pieces;
	// others are looked for from mixtures that are mostly one powder.
	for i := range f.e.n {
		var y [MostParts]float64
		for j := range f.e.n {
			y[j] = f.p.sumHi / 12
		}
		y[i] = f.p.sumHi * 2 / 3
		if f.correct(&y) && f.inside(&y) && !f.been(&y) {
			f.look(&y)
			f.walk(y, 1)
			f.walk(y, -1)
		}
	}
	if math.IsInf(f.shift, 1) {
		return
	}
	f.refine()
	start.x = f.best
	start.f, start.muSum, start.muLimit = 0, 0, 0
	*m = start
}

// been reports whether the line was walked at x.
func (f *family) been(x *[MostParts]float64) bool {
	for i := range f.walked {
		apart := 0.0
		for j, v := range f.walked[i] {
			apart += (x[j] - v) * (x[j] - v)
		}
		if apart < familyStep*familyStep {
			return true
		}
	}
	return false
}

// look keeps x if it is the best so far and shimmer enough.
func (f *family) look(x *[MostParts]float64) {
	f.e.film(x, false)
	if f.p.wish.binds() && f.e.lacks(x, wishMet) {
		return
	}
	r := &f.e.r[0]
	shift := colour.Shift(r, f.from, f.to)
	shift *= shift
	amount := 0.0
	for i := range f.e.n {
		amount += x[i]
	}
	if shift < f.shift-familyTie || shift < f.shift+familyTie && amount < f.amount {
		f.best, f.shift, f.amount = *x, shift, amount
	}
}

// walk looks along the line from x, one way, to where it meets a bound.
func (f *family) walk(x [MostParts]float64, way float64) {
	var last [4]float64
	for step, first := familyStep, true; step > familyEnd; {
		t, ok := f.tangent(&x)
		if !ok {
			return
		}
		along := way
		if !first {
			// Keep going the same way, whatever sign the tangent came with.
			along = 1
			if t[0]*last[0]+t[1]*last[1]+t[2]*last[2]+t[3]*last[3] < 0 {
				along = -1
			}
		}
		next := x
		for i := range t {
			t[i] *= along
			next[i] += step * t[i]
		}
		if !f.correct(&next) || !f.inside(&next) {
			step /= 2
			continue
		}
		x, last, first = next, t, false
		f.walked = append(f.walked, x)
		f.look(&x)
	}
}

// refine searches about the best member, between its neighbours, by halving
// the step along the line.
func (f *family) refine() {
	for step := familyStep / 2; step > 1e-6; step /= 2 {
		x := f.best
		t, ok := f.tangent(&x)
		if !ok {
			return
		}
		for _, way := range [2]float64{1, -1} {
			next := x
			for i := range t {
				next[i] += way * step * t[i]
			}
			if f.correct(&next) && f.inside(&next) {
				f.look(&next)
			}
		}
	}
}

// jacobian returns the difference from the target and its derivatives by the
// four shares.
func (f *family) jacobian(x *[MostParts]float64) (off [3]float64, j [4][3]float64) {
	e := f.e
	e.film(x, true)
	xyz := f.v.viewing.XYZ(&e.r[f.v.channel])
	lab := f.v.viewing.LabOf(xyz)
	off = [3]float64{lab.L - f.v.target.L, lab.A - f.v.target.A, lab.B - f.v.target.B}
	slope, w := f.v.viewing.LabSlope(xyz), f.v.viewing.Weights()
	for i := range j {
		j[i] = labSlope(&slope, w, &e.dr[f.v.channel][i])
	}
	return off, j
}

// tangent returns the unit direction that leaves the colour as it is: the
// generalised cross product of the three rows of derivatives.
func (f *family) tangent(x *[MostParts]float64) (t [4]float64, ok bool) {
	_, j := f.jacobian(x)
	norm := 0.0
	for i := range t {
		a, b, c := j[(i+1)%4], j[(i+2)%4], j[(i+3)%4]
		det := a[0]*(b[1]*c[2]-b[2]*c[1]) - a[1]*(b[0]*c[2]-b[2]*c[0]) + a[2]*(b[0]*c[1]-b[1]*c[0])
		if i%2 == 1 {
			det = -det
		}
		t[i] = det
		norm += det * det
	}
	norm = math.Sqrt(norm)
	if !(norm > 1e-12) {
		return t, false
	}
	for i := range t {
		t[i] /= norm
	}
	return t, true
}

// correct brings x back to the target's colour by Newton steps of least length.
func (f *family) correct(x *[MostParts]float64) bool {
	for range 8 {
		off, j := f.jacobian(x)
		if off[0]*off[0]+off[1]*off[1]+off[2]*off[2] < 1e-20 {
			return true
		}
		// (J Jᵀ) y = off, step = −Jᵀ y.
		var a [3][3]float64
		for r := range 3 {
			for c := range 3 {
				for i := range j {
					a[r][c] += j[i][r] * j[i][c]
				}
			}
		}
		y, ok := leastsquares.Solve3(a, off)
		if !ok {
			return false
		}
		for i := range j {
			d := j[i][0]*y[0] + j[i][1]*y[1] + j[i][2]*y[2]
			if math.Abs(d) > 0.5 {
				return false
			}
			x[i] -= d
		}
	}
	return false
}

// inside reports whether x is within all bounds.
func (f *family) inside(x *[MostParts]float64) bool {
	sum, limited := 0.0, 0.0
	for i := range f.e.n {
		u := f.e.use[i]
		if x[i] < u.lo || x[i] > u.hi {
			return false
		}
		sum += x[i]
		limited += u.limited * x[i]
	}
	return sum >= f.p.sumLo && sum <= f.p.sumHi && limited <= f.p.limitHi
}
