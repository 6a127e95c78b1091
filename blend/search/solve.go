package search

import (
	"math"

	"tawny/blend/nnls"
)

const (
	maxSteps    = 80
	gaussSteps  = 4
	exactEnough = 1e-9 // f below which a match counts as exact, ΔE00 3e-5
)

// stop says when a walk is done: when its step promises less than decrease, in units
// of f = ΔE00², and than that share of f.
type stop struct{ decrease, share float64 }

var (
	roughly  = stop{1e-3, 1e-2}   // walked on where it matters
	settled  = stop{1e-10, 1e-12} // under 1e-5 in ΔE00 at ΔE00 0.1, less elsewhere
	polished = stop{1e-13, 1e-13} // to be shown; of a large f a smaller share is rounding
)

// overPromise is how many times what a step promises a walk may yet gain: one that
// cannot come under its bar so is given up (no winner is the worse, a test).
const overPromise = 2

// solver owns the scratch of one worker.
type solver struct {
	eval *evaluator
	h    [MostParts]nnls.Vector // of the shade, carried on by a walk
	step nnls.Problem           // of the linearised match, from where the walk stands
	d    nnls.Vector            // its answer
	mu   nnls.Multipliers
	bar  float64 // the f that a walk is worth going on for
}

func newSolver(p *problem) *solver { return &solver{eval: newEvaluator(p), bar: math.Inf(1)} }

// outcome is where a solve ended.
type outcome struct {
	x              [MostParts]float64
	f              float64
	muSum, muLimit float64
	converged      bool
	hopeless       bool // given up
	wishing        bool // the wish for a shimmer bears on it
}

// solve walks from the feasible shares x to the nearest optimum over the chosen
// subset.
func (w *solver) solve(index []int, x *[MostParts]float64, until stop, wishing bool) outcome {
	w.eval.choose(index)
	return w.descend(*x, until, wishing)
}

// approach is solve on the quick film.
func (w *solver) approach(index []int, x *[MostParts]float64, until stop, wishing bool) outcome {
	w.eval.choose(index)
	w.eval.rough = true
	return w.descend(*x, until, wishing)
}

// descend walks from x. Most mixtures that have the shade are shimmer enough, so
// unless wishing says that it was needed where x comes from, the wish for one is
// looked at only where a walk by the shade alone ends: an optimum that lacks
// nothing is one with the wish too.
func (w *solver) descend(x [MostParts]float64, until stop, wishing bool) outcome {
	e := w.eval
	if wishing = wishing && e.p.wish.binds(); !wishing {
		out := w.walk(&x, until)
		if out.hopeless || !e.p.wish.binds() || !e.lacks(&out.x, 0) {
			return out
		}
		x = out.x
	}
	e.wishing = true
	out := w.walk(&x, until)
	out.wishing = true
	return out
}

// walk goes from the feasible shares x to the nearest optimum by sequential least
// squares: Gauss–Newton on ΔE00² with the load and bounds held exactly in every
// step, and a step halved until it helps.
//
// Three colour numbers cannot bend f in every direction of four shares, so
// where the first steps have not settled it the Hessian is carried on by BFGS
// updates, Powell's damping keeping it positive (Nocedal and Wright,
// procedure 18.2), which learn the curvature Gauss–Newton leaves out.
func (w *solver) walk(x *[MostParts]float64, until stop) outcome {
	e := w.eval
	n := e.n
	out := outcome{x: *x}
	h := &w.h
	var lastG, lastX [MostParts]float64
	e.all(&out.x)
	for step := range maxSteps {
		out.f = e.f
		if step < gaussSteps {
			*h = e.h
			trace := 0.0
			for i := range n {
				trace += h[i][i]
			}
			for i := range n {
				h[i][i] += 1e-9*trace + 1e-300
			}
		} else {
			w.update(n, &out.x, &lastX, &e.smooth, &lastG)
		}
		lastG, lastX = e.smooth, out.x
		w.next(&out.x)
		out.muSum, out.muLimit = w.mu.Sum, w.mu.Cost
		slope, change := 0.0, 0.0
		for i := range n {
			slope += e.g[i] * w.d[i]
			change += e.smooth[i] * w.d[i]
			for j := range n {
				change += w.d[i] * h[i][j] * w.d[j] / 2
			}
		}
		for k := range e.hinges {
			h := &e.hinges[k]
			from, to := h.beyond(0), h.beyond(h.along(&w.d, n))
			change += h.weight * (to*to - from*from)
		}
		if out.f+overPromise*change > w.bar {
			out.hopeless = true
			return out
		}
		if -change < max(until.decrease, until.share*out.f) || out.f < until.decrease/10 {
			out.converged = true
			return out
		}
		// The whole step is mostly the one taken, so all is worked out there at once.
		next := w.along(&out.x, 1)
		e.all(&next)
		if !(e.f <= out.f+1e-4*slope) {
			t := 1.0
			for e.f > out.f+1e-4*t*slope {
				if t /= 2; t < shortest {
					return out
				}
				next = w.along(&out.x, t)
				e.f = e.value(&next)
			}
			e.all(&next)
		}
		out.x, out.f = next, e.f
	}
	return out
}

// shortest is the least part of a step that is tried.
const shortest = 0x1p-19

// along is part of the step from x. Rounding may leave a share 1e-17 outside its
// bounds.
func (w *solver) along(x *[MostParts]float64, part float64) (next [MostParts]float64) {
	for i := range w.eval.n {
		u := w.eval.use[i]
		next[i] = math.Min(math.Max(x[i]+part*w.d[i], u.lo), u.hi)
	}
	return next
}

// next finds the step from x, the non-negative least-squares problem of the
// linearised match with load, bounds and ceiling exact. A hinge that is not out
// at x but would be at the step's end is put in as the square it is there, else
// walks along the edge of a wish would zigzag.
func (w *solver) next(x *[MostParts]float64) {
	e, q := w.eval, &w.step
	w.bounds(x)
	q.G, q.H = e.smooth, w.h
	var in [2]bool
	for k := range e.hinges {
		if d := e.hinges[k].beyond(0); d != 0 {
			e.hinges[k].add(q, d)
			in[k] = true
		}
	}
	for again := true; again; {
		// Out of steps it has gone some of the way, which is a step too.
		w.mu, _ = q.Solve(&w.d)
		again = false
		for k := range e.hinges {
			h := &e.hinges[k]
			d := h.beyond(h.along(&w.d, e.n))
			if in[k] || d == 0 {
				continue
			}
			bound := h.bounds[0]
			if d > 0 {
				bound = h.bounds[1]
			}
			h.add(q, h.value-bound)
			in[k], again = true, true
		}
	}
}

// bounds sets the step's bounds for a walk from x. Those that rounding has left
// a hair away, or on the wrong side, are where the walk stands.
func (w *solver) bounds(x *[MostParts]float64) {
	e, q, p := w.eval, &w.step, w.eval.p
	below := func(b float64) float64 {
		if b > -hair {
			return 0
		}
		return b
	}
	above := func(b float64) float64 { return -below(-b) }
	sum, limited := 0.0, 0.0
	q.N = e.n
	for i := range e.n {
		u := e.use[i]
		sum += x[i]
		limited += u.limited * x[i]
		q.Lo[i], q.Hi[i], q.Cost[i] = below(u.lo-x[i]), above(u.hi-x[i]), u.limited
	}
	q.SumLo, q.SumHi = below(p.sumLo-sum), above(p.sumHi-sum)
	if p.sumLo == p.sumHi {
		q.SumLo, q.SumHi = 0, 0
	}
	q.CostHi = above(p.limitHi - limited)
}

// update is the damped BFGS update of h for the move from lastX to x.
func (w *solver) update(n int, x, lastX, g, lastG *[MostParts]float64) {
	h := &w.h
	var d, y, hd [MostParts]float64
	for i := range n {
		d[i], y[i] = x[i]-lastX[i], g[i]-lastG[i]
	}
	dy, dhd := 0.0, 0.0
	for i := range n {
		for j := range n {
			hd[i] += h[i][j] * d[j]
		}
		dy += d[i] * y[i]
		dhd += d[i] * hd[i]
	}
	if dhd <= 0 {
		return
	}
	if dy < 0.2*dhd {
		theta := 0.8 * dhd / (dhd - dy)
		for i := range n {
			y[i] = theta*y[i] + (1-theta)*hd[i]
		}
		dy = 0.2 * dhd
	}
	for i := range n {
		for j := range n {
			h[i][j] += y[i]*y[j]/dy - hd[i]*hd[j]/dhd
		}
	}
}
