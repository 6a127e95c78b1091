package search

import (
	"fmt"
	"math"
	"slices"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
)

// Shimmer is what is wanted of a blend beside its shade.
type Shimmer struct {
	// GleamLo and GleamHi bound the gleam, L* at 15° less L* at 45°; GleamHi 0
	// is no bound.
	GleamLo, GleamHi float64
	Grain            string // one of film.GrainWords; "" for any
}

func (s *Shimmer) check() error {
	if !(s.GleamLo >= 0 && s.GleamHi >= 0) || s.GleamHi > 0 && s.GleamHi < s.GleamLo {
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
	gleamInside = 0.02  // L*
	grainInside = 0.01  // of the logarithm
	wishMet     = 1e-2  // of the sum of both: what is missing then is not shown
)

// wish is a Shimmer in numbers: a penalty that is nothing within its bounds and
// grows as the square of what is missing.
type wish struct {
	gleam, grain [2]float64 // bounds of the gleam and of ln contrast
	bound        bool       // one of them is finite
	steep, level int        // channels at 15° and 45°
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
	if w.speckle, err = p.film.Speckle(); err != nil {
		return err
	}
	for i, g := range use {
		p.powders[i].coarse = w.speckle.Coarseness(g)
		w.coarse = append(w.coarse, p.powders[i].coarse)
	}
	if s := r.Shimmer; s != nil {
		if s.GleamLo > 0 {
			w.gleam[0] = s.GleamLo + gleamInside
		}
		if s.GleamHi > 0 {
			w.gleam[1] = math.Max(w.gleam[0], s.GleamHi-gleamInside)
		}
		if lo, hi, ok := film.GrainBounds(s.Grain); ok {
			w.grain = [2]float64{math.Log(lo) + grainInside, math.Log(hi) - grainInside}
		}
	}
	w.bound = w.gleam != none || w.grain != none
	p.wish = w
	return nil
}

// channelAt returns the channel of an aspecular direction, a new one where it
// has none yet.
func (p *problem) channelAt(deg float64, channel map[float64]int) (int, error) {
	if c, ok := channel[deg]; ok {
		return c, nil
	}
	if !slices.Contains(flake.Aspecular[:], deg) {
		return 0, fmt.Errorf("no direction at %g degrees; 0 (diffuse), 15, 45, 75 and 110 are accepted", deg)
	}
	reader, err := p.film.Angle(deg)
	if err != nil {
		return 0, err
	}
	channel[deg] = len(p.readers)
	p.readers = append(p.readers, reader)
	return channel[deg], nil
}

// beyond is how far x lies outside bounds, signed.
func beyond(x float64, bounds [2]float64) float64 {
	return math.Min(x-bounds[0], 0) + math.Max(x-bounds[1], 0)
}

// gleam is that of the film last worked out in all channels.
func (e *evaluator) gleam() float64 {
	w := e.p.wish
	return w.light.Lab(&e.r[w.steep]).L - w.light.Lab(&e.r[w.level]).L
}

// brightness is the film's mean where its grain is looked at, white being 1.
func (e *evaluator) brightness() float64 { return colour.D65.XYZ(&e.r[e.p.wish.steep]).Y / 100 }

// variance is the speckle's, with its derivatives by mass where by is not nil.
func (e *evaluator) variance(by []float64, all []*film.Prepared, coarse []float64) float64 {
	w := e.p.wish
	return w.speckle.Variance(e.powders[w.steep][:e.layers], e.coarse[:e.layers], e.masses[:e.layers], by, all, coarse)
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
	e.chooseFound(m)
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

// lacks reports whether something of the wish is missing at x, whose film has
// been worked out in the channels of the goals.
func (e *evaluator) lacks(x *[MostParts]float64) bool {
	w := e.p.wish
	if w == nil || !w.bound {
		return false
	}
	e.wishing = true
	e.film(x, false)
	e.wishing = false
	gleam, grain := e.missing()
	return gleam+grain > wishMet*w.weight
}

// addWish adds the penalty for what is missing of a shimmer to f, g and h.
func (e *evaluator) addWish() {
	w := e.p.wish
	if d := beyond(e.gleam(), w.gleam); d != 0 {
		var by [MostParts]float64
		for sign, c := range [2]int{w.level, w.steep} {
			slope, weights := w.light.LabSlope(w.light.XYZ(&e.r[c])), w.light.Weights()
			for i := range e.n {
				l := labSlope(&slope, weights, &e.dr[c][i])[0]
				by[i] += float64(2*sign-1) * l
			}
		}
		e.addSquare(w.weight*gleamWeight, d, &by)
	}
	if !w.grains() {
		return
	}
	var v, by [MostParts]float64
	if d := beyond(e.logContrast(), w.grain); d != 0 {
		variance := noSpeckle + e.variance(v[:e.n], e.powders[w.steep][:e.n], e.coarse[:e.n])
		mean := e.brightness()
		y := &colour.D65.Weights()[1]
		for i := range e.n {
			by[i] = e.p.mass*v[i]/(2*variance) - dotSpectra(y, &e.dr[w.steep][i])/(100*mean)
		}
		e.addSquare(w.weight*grainWeight, d, &by)
	}
}

func dotSpectra(a, b *colour.Spectrum) (sum float64) {
	for j := range a {
		sum += a[j] * b[j]
	}
	return sum
}

// addSquare adds weight·d² to the objective, by being d's derivatives.
func (e *evaluator) addSquare(weight, d float64, by *[MostParts]float64) {
	e.f += weight * d * d
	for i := range e.n {
		e.g[i] += 2 * weight * d * by[i]
		for j := range e.n {
			e.h[i][j] += 2 * weight * by[i] * by[j]
		}
	}
}

// leanWish adds what the missing shimmer makes of the channels' slopes to slope,
// and to grad what it makes of a first trace of each powder beside them.
func (e *evaluator) leanWish(grad []float64) {
	w := e.p.wish
	if d := beyond(e.gleam(), w.gleam); d != 0 {
		for sign, c := range [2]int{w.level, w.steep} {
			slope := w.light.LabSlope(w.light.XYZ(&e.r[c]))
			by := 2 * w.weight * gleamWeight * d * float64(2*sign-1) * slope[0][1]
			for j, y := range w.light.Weights()[1] {
				e.slope[c][j] += by * y
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
	variance := noSpeckle + e.variance(grad, e.p.ready[w.steep], w.coarse)
	for l := range grad {
		grad[l] *= scale / (2 * variance)
	}
	for j, y := range colour.D65.Weights()[1] {
		e.slope[w.steep][j] -= scale * y / (100 * mean)
	}
}
