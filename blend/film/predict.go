package film

import (
	"fmt"
	"math"

	"tawny/colour"
)

// Worn is a blend on a skin: everything its look depends on.
type Worn struct {
	Ground        Ground
	Parts         []Part  // Pigment and Percent are read; the rest is not
	Apply         float64 // mg/cm² of product; 0 is bare skin
	Tilt          float64 // degrees; 0 means that of the application
	Base          Base
	Light, Second *colour.Viewing // nil means D65/2 and the stage lantern
}

// Look is what a blend on a skin is predicted to look like.
type Look struct {
	Reflectance colour.Spectrum // diffuse, gloss in or out as the ground was read
	Lab         colour.Lab      // under Light
	SecondLab   colour.Lab      // under Second
	Shift       float64         // ΔE00 between the two
	Angles      []AngleLook     // at flake.Aspecular, under light at 45°
	Covered     float64         // share of the skin behind at least one flake, 0 to 1
	Tilt        float64         // degrees, as used
}

// AngleLook is the look in one direction.
type AngleLook struct {
	AspecularDeg float64
	Reflectance  colour.Spectrum // radiance factor; may pass 1
	Lab          colour.Lab      // L* may pass 100
}

// Travel is the change from the 15° to the 110° look.
type Travel struct {
	DL float64 // ΔL*
	DC float64 // ΔC*
	DH float64 // Δh, degrees, the short way round
}

// Travel returns the change of the look from 15° to 110°.
func (l *Look) Travel() Travel {
	a, b := l.Angles[0].Lab.LCh(), l.Angles[len(l.Angles)-1].Lab.LCh()
	return Travel{b.L - a.L, b.C - a.C, colour.HueTurn(a.H, b.H)}
}

// layer is the film of a worn blend, with the flakes' part by direction.
func (w *Worn) layer() (f Film, at [4]colour.Spectrum, covered float64) {
	area := 0.0
	for _, p := range w.Parts {
		m := w.Apply * p.Percent / 100
		o := &p.Pigment.Optics
		for j := range f.K {
			f.K[j] += m * o.K[j]
			f.S[j] += m * o.S[j]
		}
		if !o.Flake {
			continue
		}
		area += m * o.FaceArea
		for j := range f.Sf {
			f.Sf[j] += m * o.S[j]
			for d := range at {
				at[d][j] += m * o.SAt[d][j]
			}
		}
	}
	for j := range f.K {
		f.K[j] += w.Apply * w.Base.K[j]
		f.S[j] += w.Apply * w.Base.S[j]
	}
	// Flakes lying at random leave e^−area of the skin bare.
	return f, at, -math.Expm1(-area)
}

// defaulted returns the worn blend with its defaults taken, checked.
func (w Worn) defaulted() (Worn, error) {
	if w.Light == nil {
		w.Light = colour.D65
	}
	if w.Second == nil {
		w.Second = StageView()
	}
	if w.Base.Index == 0 {
		w.Base.Index = DefaultIndex
	}
	if w.Tilt == 0 {
		w.Tilt = TiltFor(w.Apply)
	}
	if !(w.Apply >= 0 && w.Apply <= MaxApply) {
		return w, fmt.Errorf("application %g mg/cm²; 0 to %g is accepted", w.Apply, MaxApply)
	}
	return w, nil
}

// checkParts reports the first amount no product has.
func (w *Worn) checkParts() error {
	for _, p := range w.Parts {
		if !(p.Percent >= 0 && p.Percent <= 100) {
			return fmt.Errorf("powder %q at %g %%; 0 to 100 is accepted", p.Pigment.Name, p.Percent)
		}
	}
	return nil
}

// Predict computes the look of a blend on a skin. Nothing applied is bare skin
// exactly.
func Predict(w Worn) (*Look, error) {
	w, err := w.defaulted()
	if err != nil {
		return nil, err
	}
	if err := w.checkParts(); err != nil {
		return nil, err
	}
	c, err := NewConditions(w.Base.Index, w.Tilt, w.Ground.Excluded)
	if err != nil {
		return nil, err
	}
	f, at, covered, err := w.on(&c)
	if err != nil {
		return nil, err
	}
	l := &Look{Covered: covered, Tilt: w.Tilt, Reflectance: w.reading(&c, &f)}
	l.Lab, l.SecondLab = w.Light.Lab(&l.Reflectance), w.Second.Lab(&l.Reflectance)
	l.Shift = colour.DeltaE00(l.Lab, l.SecondLab)
	for d := range c.Views {
		v := &c.Views[d]
		a := AngleLook{AspecularDeg: v.AspecularDeg}
		for j := range a.Reflectance {
			a.Reflectance[j], _, _, _, _ = v.Band(f.K[j], f.S[j], f.Sf[j], at[d][j], f.Rg[j])
		}
		a.Lab = w.Light.Lab(&a.Reflectance)
		l.Angles = append(l.Angles, a)
	}
	return l, nil
}

// Diffuse returns the reflectance alone that Predict gives a worn blend, for
// those who need many. Amounts are taken as they come: a doubt may put a trace
// of powder a hair below none.
func Diffuse(w Worn) (colour.Spectrum, error) {
	w, err := w.defaulted()
	if err != nil {
		return colour.Spectrum{}, err
	}
	c, err := NewConditions(w.Base.Index, w.Tilt, w.Ground.Excluded)
	if err != nil {
		return colour.Spectrum{}, err
	}
	f, _, _, err := w.on(&c)
	if err != nil {
		return colour.Spectrum{}, err
	}
	return w.reading(&c, &f), nil
}

// Film returns the film that a worn blend's powders and base make on the skin
// just under its surface, and the tilt and index taken.
func (w Worn) Film() (f Film, tilt, index float64, err error) {
	if w, err = w.defaulted(); err != nil {
		return f, 0, 0, err
	}
	c, err := NewConditions(w.Base.Index, w.Tilt, w.Ground.Excluded)
	if err != nil {
		return f, 0, 0, err
	}
	f, _, _, err = w.on(&c)
	return f, w.Tilt, w.Base.Index, err
}

// on is layer over the skin just under its surface.
func (w *Worn) on(c *Conditions) (f Film, at [4]colour.Spectrum, covered float64, err error) {
	f, at, covered = w.layer()
	f.Rg, err = c.Below(w.Ground)
	return f, at, covered, err
}

// reading is what is read of the film, gloss in or out as the ground was.
func (w *Worn) reading(c *Conditions, f *Film) colour.Spectrum {
	if w.Apply == 0 {
		return w.Ground.Reflectance
	}
	return c.Surface.Reading(f)
}

// jarAbsorption is the share of light a flake is taken to absorb in the jar
// beside what its optical constants say. On skin it is lost in the skin's own;
// in depth, where light meets flake after flake, it is all that keeps clear
// flakes from returning everything and so from having any colour. 0.2 % makes a
// jar of silver-white flakes about L* 92, as white pearl powders measure (from
// memory).
const jarAbsorption = 0.002

// InTheJar returns the reflectance of the product too deep to see through,
// flakes lying every way. The amounts per cm² do not matter, only the blend.
func InTheJar(w Worn) (colour.Spectrum, error) {
	if w.Base.Index == 0 {
		w.Base.Index = DefaultIndex
	}
	w.Apply = 1
	if err := w.checkParts(); err != nil {
		return colour.Spectrum{}, err
	}
	c, err := NewConditions(w.Base.Index, TiltFor(1), w.Ground.Excluded)
	if err != nil {
		return colour.Spectrum{}, err
	}
	f, _, _ := w.layer()
	for _, p := range w.Parts {
		for j := range f.K {
			f.K[j] += w.Apply * p.Percent / 100 * p.Pigment.Optics.FaceArea * jarAbsorption
		}
	}
	return c.Surface.InTheJar(&f), nil
}
