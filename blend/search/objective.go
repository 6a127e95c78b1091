package search

import (
	"tawny/blend/film"
	"tawny/blend/nnls"
	"tawny/colour"
)

// problem is a match in numbers, shared read-only by all workers. Amounts are
// shares of the largest allowed areal mass, so that the powders' K and S here
// are already multiplied by it and every share is of order one.
type problem struct {
	powders []powder
	ground  colour.Spectrum // R_g, the skin just below the surface
	baseK   colour.Spectrum // K and S of the dried base
	baseS   colour.Spectrum
	surface film.Surface
	angles  []film.View // the aspecular channels in use, after the diffuse one
	views   []view
	band    *bandTarget // the spectral part of the target, or nil

	sumLo, sumHi float64 // bounds of Σ shares; sumHi is 1
	costHi       float64 // ceiling of Σ cost·share, +Inf for none
}

// powder is one palette entry, scaled to the largest areal mass.
type powder struct {
	k, s   colour.Spectrum
	flake  float64           // 1 for a flake, whose S is mirror-like; else 0
	at     []colour.Spectrum // flake reflection for each angle in use
	lo, hi float64           // bounds of its share
	cost   float64
	must   bool
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
	h   [MostParts]nnls.Vector

	r  [maxChannels]colour.Spectrum // radiance factor of each channel
	aK [maxChannels]colour.Spectrum // its derivatives by K, S, S_f and S_f(θ)
	aS [maxChannels]colour.Spectrum
	aF [maxChannels]colour.Spectrum
	aA [maxChannels]colour.Spectrum
	dr [MostParts]colour.Spectrum // derivative of one channel by each share

	slope [maxChannels]colour.Spectrum // ∂f/∂R of each channel, after gradient
}

func newEvaluator(p *problem) *evaluator { return &evaluator{p: p} }

// choose sets the powders of the subset.
func (e *evaluator) choose(index []int) {
	e.n = len(index)
	for i, k := range index {
		e.use[i] = &e.p.powders[k]
	}
}

// film fills r and, where derivatives are wanted, aK … aA for shares x.
func (e *evaluator) film(x *[MostParts]float64, derivatives bool) {
	p := e.p
	k, s := p.baseK, p.baseS
	var f colour.Spectrum
	for i := 0; i < e.n; i++ {
		u, xi := e.use[i], x[i]
		fi := xi * u.flake
		for j := range k {
			k[j] += xi * u.k[j]
			s[j] += xi * u.s[j]
			f[j] += fi * u.s[j]
		}
	}
	channels := 1 + len(p.angles)
	var at [maxChannels]colour.Spectrum
	for c := 1; c < channels; c++ {
		for i := 0; i < e.n; i++ {
			if e.use[i].flake == 0 {
				continue
			}
			xi, a := x[i], &e.use[i].at[c-1]
			for j := range a {
				at[c][j] += xi * a[j]
			}
		}
	}
	if !derivatives {
		for j := range k {
			e.r[0][j], _, _, _ = p.surface.Band(k[j], s[j], f[j], p.ground[j])
		}
	} else {
		for j := range k {
			e.r[0][j], e.aK[0][j], e.aS[0][j], e.aF[0][j] = p.surface.Band(k[j], s[j], f[j], p.ground[j])
		}
	}
	for c := 1; c < channels; c++ {
		v := &p.angles[c-1]
		for j := range k {
			e.r[c][j], e.aK[c][j], e.aS[c][j], e.aF[c][j], e.aA[c][j] = v.Band(k[j], s[j], f[j], at[c][j], p.ground[j])
		}
	}
}

// value returns f alone, for the line search.
func (e *evaluator) value(x *[MostParts]float64) float64 {
	e.film(x, false)
	f := 0.0
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
	filled := -1
	for i := range e.p.views {
		v := &e.p.views[i]
		if v.channel != filled {
			e.channel(v.channel)
			filled = v.channel
		}
		e.addView(v)
	}
	if e.p.band != nil {
		if filled != 0 {
			e.channel(0)
		}
		e.addBands(e.p.band)
	}
}

// channel fills dr for a channel.
func (e *evaluator) channel(c int) {
	aK, aS, aF := &e.aK[c], &e.aS[c], &e.aF[c]
	var aSF colour.Spectrum
	for j := range aSF {
		aSF[j] = aS[j] + aF[j]
	}
	for i := 0; i < e.n; i++ {
		u, dr, s := e.use[i], &e.dr[i], aS
		if u.flake != 0 {
			s = &aSF
		}
		for j := range dr {
			dr[j] = aK[j]*u.k[j] + s[j]*u.s[j]
		}
		if c > 0 && u.flake != 0 {
			aA, at := &e.aA[c], &u.at[c-1]
			for j := range dr {
				dr[j] += aA[j] * at[j]
			}
		}
	}
}

func (e *evaluator) addView(v *view) {
	xyz := v.viewing.XYZ(&e.r[v.channel])
	f, grad, hess := colour.DeltaE00Gradient(v.lab(xyz), v.target)
	var lab [MostParts][3]float64 // ∂(L*, a*, b*)/∂share
	slope, w := v.viewing.LabSlope(xyz), v.viewing.Weights()
	for i := 0; i < e.n; i++ {
		lab[i] = labSlope(&slope, w, &e.dr[i])
	}
	e.f += v.weight * f
	for i := 0; i < e.n; i++ {
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
	for i := 0; i < e.n; i++ {
		sum := 0.0
		for j := range t.r {
			sum += (e.r[0][j] - t.r[j]) * e.dr[i][j]
		}
		e.g[i] += t.weight * scale * sum
		for k := 0; k <= i; k++ {
			sum := 0.0
			for j := range t.r {
				sum += e.dr[i][j] * e.dr[k][j]
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
	channels := 1 + len(p.angles)
	for c := 0; c < channels; c++ {
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
	var bK, bS, bSF colour.Spectrum
	for c := 0; c < channels; c++ {
		for j := range bK {
			m := e.slope[c][j]
			bK[j] += m * e.aK[c][j]
			bS[j] += m * e.aS[c][j]
			bSF[j] += m * (e.aS[c][j] + e.aF[c][j])
		}
	}
	for l := range p.powders {
		u := &p.powders[l]
		s := &bS
		if u.flake != 0 {
			s = &bSF
		}
		sum := 0.0
		for j := range bK {
			sum += bK[j]*u.k[j] + s[j]*u.s[j]
		}
		if u.flake != 0 {
			for c := 1; c < channels; c++ {
				for j := range u.at[c-1] {
					sum += e.slope[c][j] * e.aA[c][j] * u.at[c-1][j]
				}
			}
		}
		grad[l] = sum
	}
}
