package search

import (
	"tawny/blend/film"
	"tawny/blend/nnls"
	"tawny/colour"
)

// problem is a match in numbers, shared read-only by all workers. Amounts are
// shares of the largest allowed areal mass, so that every share is of order one.
type problem struct {
	powders []powder
	under   film.Under                   // the skin just under its surface
	film    *layer                       // what a mixture is judged on
	quick   *layer                       // the same under a flat surface, for the walks of a search
	shift   [maxChannels]colour.Spectrum // by how much the film reads otherwise than the quick one
	goals   int                          // channels the goals are in; the others are a shimmer's alone
	mass    float64                      // areal mass of a share of 1, mg/cm²
	apply   float64                      // of the base, mg/cm²
	views   []view
	band    *bandTarget // the spectral part of the target, or nil
	wish    *wish       // for a shimmer, or nil

	sumLo, sumHi float64 // bounds of Σ shares; sumHi is 1
	limitHi      float64 // of Σ limited·share, +Inf for none
}

// layer is a film with what is read of it.
type layer struct {
	film    *film.Film
	readers []*film.Reader     // of each channel: the diffuse one, the aspecular ones in use, those of the shimmer
	ready   [][]*film.Prepared // of each channel, every powder
	base    []*film.Prepared   // of each channel, or nil for a clear base
}

// powder is one palette entry.
type powder struct {
	// lo and hi bound its share. A powder that need not be used may be left out
	// of a blend, but not be in it with less.
	lo, hi  float64
	cost    float64 // of a share of 1
	limited float64 // what a share of 1 counts towards the limit
	coarse  float64 // its flakes' speckle, see film.Speckle
}

// view is one colour to match: a channel (0 diffuse, then the angles) seen
// under one light, with its target and weight.
type view struct {
	channel int
	viewing *colour.Viewing
	target  colour.Lab
	weight  float64
	offset  colour.Lab // added to what the model says, where a reading has shown it to be off
}

// lab is the colour of a reflectance as this view has it.
func (v *view) lab(xyz colour.XYZ) colour.Lab {
	c := v.viewing.LabOf(xyz)
	return colour.Lab{L: c.L + v.offset.L, A: c.A + v.offset.A, B: c.B + v.offset.B}
}

// bandTarget is a reflectance to match band by band.
type bandTarget struct {
	r      colour.Spectrum
	weight float64 // of the mean squared difference in per cent
}

// MostParts is the most powders one mixture can hold.
const MostParts = nnls.Most

const maxChannels = 5 // diffuse and four angles

// evaluator works out one mixture: its objective f = Σ weight·ΔE00², gradient
// and Gauss–Newton Hessian by the shares. One a worker; nothing is allocated
// after newEvaluator.
type evaluator struct {
	p   *problem
	n   int
	use [MostParts]*powder
	f   float64
	g   [MostParts]float64
	h   [MostParts]nnls.Vector // of the shade alone

	smooth [MostParts]float64 // g of the shade alone
	hinges [2]hinge           // what the wish adds: of the gleam, of the grain

	r  [maxChannels]colour.Spectrum            // reading in each channel
	dr [maxChannels][MostParts]colour.Spectrum // its derivatives by each share

	slow, quick mixed // on the problem's film, and on the quick one
	masses      [MostParts + 1]float64
	coarse      [MostParts + 1]float64       // of the powders, where a grain is wanted
	layers      int                          // powders in use, the base counted if there is one
	wishing     bool                         // all channels count, and the wish for a shimmer
	slope       [maxChannels]colour.Spectrum // ∂f/∂R of each channel, after foreign
	rough       bool                         // on the quick film
}

// mixed is what is in use, prepared for each channel, the base after the powders.
type mixed [maxChannels][MostParts + 1]*film.Prepared

func newEvaluator(p *problem) *evaluator { return &evaluator{p: p} }

// choose sets the powders of the subset and lays them out for the films.
func (e *evaluator) choose(index []int) {
	p := e.p
	e.n, e.layers, e.wishing, e.rough = len(index), len(index), false, false
	for i, k := range index {
		e.use[i] = &p.powders[k]
		e.coarse[i] = e.use[i].coarse
	}
	e.coarse[e.n] = 0
	if p.film.base != nil {
		e.masses[e.n] = p.apply
		e.layers++
	}
	e.slow.lay(p.film, index)
	if p.quick != p.film {
		e.quick.lay(p.quick, index)
	}
}

func (m *mixed) lay(l *layer, index []int) {
	for c := range l.readers {
		for i, k := range index {
			m[c][i] = l.ready[c][k]
		}
		if l.base != nil {
			m[c][len(index)] = l.base[c]
		}
	}
}

// channels is how many channels count just now.
func (e *evaluator) channels() int {
	if e.wishing {
		return len(e.p.film.readers)
	}
	return e.p.goals
}

// film fills r and, where derivatives are wanted, dr for shares x.
func (e *evaluator) film(x *[MostParts]float64, derivatives bool) {
	e.lay(x)
	for c := range e.channels() {
		e.read(c, derivatives)
	}
}

// lay takes shares x for those that are read.
func (e *evaluator) lay(x *[MostParts]float64) {
	for i := range e.n {
		e.masses[i] = x[i] * e.p.mass
	}
}

// read fills r and dr in one channel.
func (e *evaluator) read(c int, derivatives bool) {
	p := e.p
	on, mix := e.on()
	var slopes []colour.Spectrum
	if derivatives {
		slopes = e.dr[c][:e.n]
	}
	in := e.sparse(c)
	on.readers[c].ReadBands(in.list(), &e.r[c], slopes, &p.under, mix[c][:e.layers], e.masses[:e.layers])
	if in != nil {
		in.fill(&e.r[c])
	}
	for i := range slopes {
		if in != nil {
			in.fill(&slopes[i])
		}
		for j := range slopes[i] {
			slopes[i][j] *= p.mass
		}
	}
	if e.rough {
		for j := range e.r[c] {
			e.r[c][j] += p.shift[c][j]
		}
	}
}

// on is the film that counts just now, with what is in use on it.
func (e *evaluator) on() (*layer, *mixed) {
	if e.rough && e.p.quick != e.p.film {
		return e.p.quick, &e.quick
	}
	return e.p.film, &e.slow
}

// value returns f alone, for the line search.
func (e *evaluator) value(x *[MostParts]float64) float64 {
	e.film(x, false)
	f := e.shade()
	if e.wishing {
		gleam, grain := e.missing()
		f += gleam + grain
	}
	return f
}

// shade is f of the film last worked out, but for the wish.
func (e *evaluator) shade() (f float64) {
	for i := range e.p.views {
		v := &e.p.views[i]
		f += v.weight * colour.DeltaE00Squared(v.lab(v.viewing.XYZ(&e.r[v.channel])), v.target)
	}
	if t := e.p.band; t != nil {
		f += t.value(&e.r[0])
	}
	return f
}

// all fills f, g and h at x.
func (e *evaluator) all(x *[MostParts]float64) {
	e.film(x, true)
	e.f, e.g, e.h = 0, [MostParts]float64{}, [MostParts]nnls.Vector{}
	for i := range e.p.views {
		e.addView(&e.p.views[i])
	}
	if e.p.band != nil {
		e.addBands(e.p.band)
	}
	e.smooth, e.hinges = e.g, [2]hinge{}
	if e.wishing {
		e.addWish()
	}
}

func (e *evaluator) addView(v *view) {
	xyz := v.viewing.XYZ(&e.r[v.channel])
	f, grad, hess := colour.DeltaE00Gradient(v.lab(xyz), v.target)
	var lab [MostParts][3]float64 // ∂(L*, a*, b*)/∂share
	slope, w := v.viewing.LabSlope(xyz), v.viewing.Weights()
	for i := range e.n {
		lab[i] = labSlope(&slope, w, &e.dr[v.channel][i])
	}
	e.f += v.weight * f
	for i := range e.n {
		var hi [3]float64
		for c := range 3 {
			e.g[i] += v.weight * grad[c] * lab[i][c]
			hi[c] = hess[c][0]*lab[i][0] + hess[c][1]*lab[i][1] + hess[c][2]*lab[i][2]
		}
		for j := 0; j <= i; j++ {
			h := v.weight * (hi[0]*lab[j][0] + hi[1]*lab[j][1] + hi[2]*lab[j][2])
			e.h[i][j] += h
			if i != j {
				e.h[j][i] += h
			}
		}
	}
}

// labSlope returns the derivatives of L*, a*, b* by a share, given those of
// the reflectance.
func labSlope(slope *[3][3]float64, w *[3]colour.Spectrum, dr *colour.Spectrum) [3]float64 {
	var x, y, z float64
	for j := range dr {
		x += w[0][j] * dr[j]
		y += w[1][j] * dr[j]
		z += w[2][j] * dr[j]
	}
	return [3]float64{slope[0][1] * y, slope[1][0]*x + slope[1][1]*y, slope[2][1]*y + slope[2][2]*z}
}

// value is the mean squared difference in per cent, weighted.
func (b *bandTarget) value(r *colour.Spectrum) float64 {
	sum := 0.0
	for j := range r {
		d := r[j] - b.r[j]
		sum += d * d
	}
	return b.weight * sum * (1e4 / colour.Bands)
}

func (e *evaluator) addBands(t *bandTarget) {
	e.f += t.value(&e.r[0])
	const scale = 2e4 / colour.Bands
	for i := range e.n {
		sum := 0.0
		for j := range t.r {
			sum += (e.r[0][j] - t.r[j]) * e.dr[0][i][j]
		}
		e.g[i] += t.weight * scale * sum
		for k := 0; k <= i; k++ {
			sum := 0.0
			for j := range t.r {
				sum += e.dr[0][i][j] * e.dr[0][k][j]
			}
			h := t.weight * scale * sum
			e.h[i][k] += h
			if i != k {
				e.h[k][i] += h
			}
		}
	}
}

// foreign fills grad with ∂f/∂share for every powder of the problem at the
// mixture last given to all, whether or not it is in the subset: what adding a
// first trace of it would do.
func (e *evaluator) foreign(grad []float64) {
	p := e.p
	for c := range e.channels() {
		e.slope[c] = colour.Spectrum{}
	}
	for i := range p.views {
		v := &p.views[i]
		xyz := v.viewing.XYZ(&e.r[v.channel])
		_, g, _ := colour.DeltaE00Gradient(v.lab(xyz), v.target)
		s := v.viewing.LabSlope(xyz)
		w := v.viewing.Weights()
		x := v.weight * g[1] * s[1][0]
		y := v.weight * (g[0]*s[0][1] + g[1]*s[1][1] + g[2]*s[2][1])
		z := v.weight * g[2] * s[2][2]
		for j := range e.slope[v.channel] {
			e.slope[v.channel][j] += x*w[0][j] + y*w[1][j] + z*w[2][j]
		}
	}
	if t := p.band; t != nil {
		for j := range t.r {
			e.slope[0][j] += t.weight * (2e4 / colour.Bands) * (e.r[0][j] - t.r[j])
		}
	}
	clear(grad)
	if e.wishing {
		e.leanWish(grad)
	}
	on, mix := e.on()
	for c, reader := range on.readers[:e.channels()] {
		if in := e.sparse(c); in != nil {
			in.gather(&e.slope[c])
		}
		reader.Lean(grad, &e.slope[c], &p.under, mix[c][:e.layers], e.masses[:e.layers], on.ready[c])
	}
	for l := range grad {
		grad[l] *= p.mass
	}
}
