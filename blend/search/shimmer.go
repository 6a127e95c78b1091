package search

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/nnls"
	"tawny/blend/palette"
	"tawny/colour"
)

// Shimmer is what is wanted of a blend beside its shade.
type Shimmer struct {
	// GleamLo and GleamHi bound the gleam, L* at 15° less L* at 45°; GleamHi 0
	// is no bound.
	GleamLo, GleamHi float64
	Grain            string // one of film.GrainWords; "" for any
	SpareBlack       bool   // black pigment stays out as green, blue and violet do
	// Worth is the ΔE00 that an L* of gleam missing counts as; 0 means so many
	// that it is missing only where it cannot be had.
	Worth float64
}

// Lacks tells what of the shimmer a look has not.
func (s *Shimmer) Lacks(l Look) (list []string) {
	if s == nil {
		return nil
	}
	if s.GleamOff(l.Gleam) {
		list = append(list, fmt.Sprintf("the gleam (%.1f)", l.Gleam))
	}
	if s.Grain != "" && l.Grain != s.Grain {
		list = append(list, fmt.Sprintf("the grain (%s)", cmp.Or(l.Grain, "without flakes")))
	}
	return list
}

// GleamOff reports whether a gleam, as it is told, is out of the bounds.
func (s *Shimmer) GleamOff(gleam float64) bool {
	told := func(g float64) float64 { return math.Round(g / (2 * GleamShown)) }
	return told(gleam) < told(s.GleamLo) || s.GleamHi > 0 && told(gleam) > told(s.GleamHi)
}

// GleamShown is half of the last decimal that a gleam is told with.
const GleamShown = 0.05

func (s *Shimmer) check() error {
	if !(s.GleamLo >= 0 && s.GleamHi >= 0 && s.Worth >= 0) || s.GleamHi > 0 && s.GleamHi < s.GleamLo {
		return fmt.Errorf("gleam from %g to %g; 0 or more, the least first, is accepted", s.GleamLo, s.GleamHi)
	}
	if _, _, ok := film.GrainBounds(s.Grain); s.Grain != "" && !ok {
		return fmt.Errorf("grain %q; satin, pearl or sparkle is accepted", s.Grain)
	}
	return nil
}

// How the wish for a shimmer weighs: an L* of gleam, or a tenth of the contrast,
// that is missing counts as twenty ΔE00, so that it is missing only where it
// cannot be had. Bounds are aimed at from just inside.
const (
	gleamWeight = 400.0 // of the square of L* missing
	grainWeight = 4e4   // of the square of the logarithm of contrast missing
	gleamInside = 0.05  // L*
	grainInside = 0.01  // of the logarithm
	wishMet     = 1e-2  // of the sum of both: what is missing then is not shown
)

// wish is a Shimmer in numbers: a penalty that is nothing within its bounds and
// grows as the square of what is missing.
type wish struct {
	gleam, grain [2]float64      // bounds of the gleam and of ln contrast
	bound        bool            // one of them is finite
	steep, level int             // channels at 15° and 45°
	bare         colour.Spectrum // of the skin at 45°
	light        *colour.Viewing
	weight       float64
	speckle      *film.Speckle
	coarse       []float64 // of each powder
}

// wishFor adds the channels a shimmer is judged in.
func (r *Request) wishFor(p *problem, use []*palette.Pigment, channel map[float64]int) (err error) {
	none := [2]float64{math.Inf(-1), math.Inf(1)}
	w := &wish{light: r.Light, weight: r.weight(), gleam: none, grain: none}
	for i, to := range [2]*int{&w.steep, &w.level} {
		if *to, err = p.channelAt(flake.Aspecular[i], channel); err != nil {
			return err
		}
	}
	p.film.readers[w.level].Read(&w.bare, nil, &p.under, nil, nil)
	if w.speckle, err = p.film.film.Speckle(); err != nil {
		return err
	}
	for i, g := range use {
		p.powders[i].coarse = w.speckle.Coarseness(g)
		w.coarse = append(w.coarse, p.powders[i].coarse)
	}
	if s := r.Shimmer; s != nil {
		inside := gleamInside
		if s.Worth > 0 {
			w.weight *= s.Worth * s.Worth / gleamWeight
			inside = 0 // what is weighed against the shade need not be met
		}
		if s.GleamLo > 0 {
			w.gleam[0] = s.GleamLo + inside
		}
		if s.GleamHi > 0 {
			w.gleam[1] = math.Max(w.gleam[0], s.GleamHi-inside)
		}
		if lo, hi, ok := film.GrainBounds(s.Grain); ok {
			w.grain = [2]float64{math.Log(lo) + grainInside, math.Log(hi) - grainInside}
		}
	}
	w.bound = w.gleam != none || w.grain != none
	p.wish = w
	return nil
}

// binds reports whether a wish bounds anything.
func (w *wish) binds() bool { return w != nil && w.bound }

// channelAt returns the channel of an aspecular direction, a new one where it
// has none yet.
func (p *problem) channelAt(deg float64, channel map[float64]int) (int, error) {
	if c, ok := channel[deg]; ok {
		return c, nil
	}
	if !slices.Contains(flake.Aspecular[:], deg) {
		return 0, fmt.Errorf("no direction at %g degrees; 0 (diffuse), 15, 45, 75 and 110 are accepted", deg)
	}
	c := len(p.film.readers)
	for _, on := range p.layers() {
		reader, err := on.film.Angle(deg)
		if err != nil {
			return 0, err
		}
		on.readers = append(on.readers, reader)
	}
	channel[deg] = c
	return c, nil
}

// beyond is how far x lies outside bounds, signed.
func beyond(x float64, bounds [2]float64) float64 {
	return math.Min(x-bounds[0], 0) + math.Max(x-bounds[1], 0)
}

// gleam is that of the film last worked out in all channels.
func (e *evaluator) gleam() float64 {
	w := e.p.wish
	return w.lightness(&e.r[w.steep]) - w.lightness(&e.r[w.level])
}

func (w *wish) lightness(r *colour.Spectrum) float64 { return w.light.LabOf(w.y(r)).L }

// y has Y alone, which is all that L* comes from.
func (w *wish) y(r *colour.Spectrum) colour.XYZ { return colour.XYZ{Y: luminance(w.light, r)} }

func luminance(v *colour.Viewing, r *colour.Spectrum) (y float64) {
	for b, w := range v.Weights()[1] {
		y += w * r[b]
	}
	return y
}

// brightness is the film's mean where its grain is looked at, white being 1.
func (e *evaluator) brightness() float64 { return luminance(colour.D65, &e.r[e.p.wish.steep]) / 100 }

// variance is the speckle's, with its derivatives by mass where by is not nil.
func (e *evaluator) variance(by []float64, all []*film.Prepared, coarse []float64) float64 {
	w := e.p.wish
	return w.speckle.Variance(e.slow[w.steep][:e.layers], e.coarse[:e.layers], e.masses[:e.layers], by, all, coarse)
}

// missing is the penalty for what is missing of the gleam, and of the grain.
func (e *evaluator) missing() (gleam, grain float64) {
	w := e.p.wish
	d := beyond(e.gleam(), w.gleam)
	gleam = w.weight * gleamWeight * d * d
	if w.grains() {
		d := beyond(e.logContrast(), w.grain)
		grain = w.weight * grainWeight * d * d
	}
	return gleam, grain
}

// within is a gleam and a logarithm of contrast that can be had, where what was
// asked for cannot.
type within struct{ gleam, grain float64 }

// Of a gleam and a grain out of reach this much is given up, so that there is a
// choice of shades.
const (
	gleamYields = 0.1  // of the gleam
	grainYields = 0.05 // of the logarithm of contrast
)

// reach lets the bounds reach what can be had.
func (w *wish) reach(near *within) {
	if w == nil || near == nil {
		return
	}
	let := func(bounds *[2]float64, x, yields float64) {
		if x < bounds[0] {
			bounds[0] = x - yields
		}
		if x > bounds[1] {
			bounds[1] = x + yields
		}
	}
	let(&w.gleam, near.gleam, gleamYields*math.Abs(near.gleam))
	let(&w.grain, near.grain, grainYields)
}

// reached returns the gleam and the grain of the best mixture found, and whether
// something of the wish is missing there.
func (k *ranker) reached() (near within, missing bool) {
	m, e := k.best(), newEvaluator(k.problem)
	e.choose(m.subset(&[MostParts]int{}))
	e.wishing = true
	e.film(&m.x, false)
	gleam, grain := e.missing()
	return within{e.gleam(), e.logContrast()}, gleam+grain > wishMet*k.problem.wish.weight
}

// grains reports whether a grain is wanted.
func (w *wish) grains() bool { return !math.IsInf(w.grain[0], -1) || !math.IsInf(w.grain[1], 1) }

// noSpeckle is a variance that keeps the contrast's logarithm finite where there
// are no flakes.
const noSpeckle = 1e-12

// logContrast is the logarithm of the contrast of the film last worked out.
func (e *evaluator) logContrast() float64 {
	return math.Log(e.variance(nil, nil, nil)+noSpeckle)/2 - math.Log(e.brightness())
}

// lacking is the penalty for what is missing of a wish at x, where only what the wish
// looks at is read.
func (e *evaluator) lacking(x *[MostParts]float64) float64 {
	e.lay(x)
	e.read(e.p.wish.steep, false)
	e.read(e.p.wish.level, false)
	gleam, grain := e.missing()
	return gleam + grain
}

// lacks reports whether more than so much of a wish is missing at x.
func (e *evaluator) lacks(x *[MostParts]float64, over float64) bool {
	return e.lacking(x) > over*e.p.wish.weight
}

// hinge is one part of the wish where a walk stands: weight times the square of
// how far value lies beyond its bounds.
type hinge struct {
	weight float64 // 0 where nothing is wished
	value  float64
	bounds [2]float64
	by     [MostParts]float64 // the value's derivatives by the shares
}

// addWish works out the hinges and adds them to f and g.
func (e *evaluator) addWish() {
	w := e.p.wish
	gleam := &e.hinges[0]
	gleam.weight, gleam.value, gleam.bounds = w.weight*gleamWeight, e.gleam(), w.gleam
	for sign, c := range [2]int{w.level, w.steep} {
		slope := float64(2*sign-1) * w.light.LabSlope(w.y(&e.r[c]))[0][1]
		for i := range e.n {
			gleam.by[i] += slope * luminance(w.light, &e.dr[c][i])
		}
	}
	if w.grains() {
		grain := &e.hinges[1]
		var v [MostParts]float64
		variance := noSpeckle + e.variance(v[:e.n], e.slow[w.steep][:e.n], e.coarse[:e.n])
		mean := e.brightness()
		for i := range e.n {
			grain.by[i] = e.p.mass*v[i]/(2*variance) - luminance(colour.D65, &e.dr[w.steep][i])/(100*mean)
		}
		grain.weight, grain.value, grain.bounds = w.weight*grainWeight, math.Log(variance)/2-math.Log(mean), w.grain
	}
	for k := range e.hinges {
		h := &e.hinges[k]
		if d := h.beyond(0); d != 0 {
			e.f += h.weight * d * d
			for i := range e.n {
				e.g[i] += 2 * h.weight * d * h.by[i]
			}
		}
	}
}

// beyond is how far the value lies beyond its bounds, changed by so much.
func (h *hinge) beyond(by float64) float64 {
	if h.weight == 0 {
		return 0
	}
	return beyond(h.value+by, h.bounds)
}

// along is how the value changes over a step, were it straight.
func (h *hinge) along(d *nnls.Vector, n int) (by float64) {
	for i := range n {
		by += h.by[i] * d[i]
	}
	return by
}

// add puts a hinge that is out, or will be, by d into a step's problem as the
// square it is there.
func (h *hinge) add(q *nnls.Problem, d float64) {
	for i := range q.N {
		q.G[i] += 2 * h.weight * d * h.by[i]
		for j := range q.N {
			q.H[i][j] += 2 * h.weight * h.by[i] * h.by[j]
		}
	}
}

// leanWish adds what the missing shimmer makes of the channels' slopes to slope,
// and to grad what it makes of a first trace of each powder beside them.
func (e *evaluator) leanWish(grad []float64) {
	w := e.p.wish
	if d := beyond(e.gleam(), w.gleam); d != 0 {
		for sign, c := range [2]int{w.level, w.steep} {
			by := 2 * w.weight * gleamWeight * d * float64(2*sign-1) * w.light.LabSlope(w.y(&e.r[c]))[0][1]
			for b, y := range w.light.Weights()[1] {
				e.slope[c][b] += by * y
			}
		}
	}
	if !w.grains() {
		return
	}
	d := beyond(e.logContrast(), w.grain)
	if d == 0 {
		return
	}
	mean := e.brightness()
	scale := 2 * w.weight * grainWeight * d
	variance := noSpeckle + e.variance(grad, e.p.film.ready[w.steep], w.coarse)
	for l := range grad {
		grad[l] *= scale / (2 * variance)
	}
	for b, y := range colour.D65.Weights()[1] {
		e.slope[w.steep][b] -= scale * y / (100 * mean)
	}
}
