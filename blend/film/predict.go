package film

import (
	"fmt"
	"math"

	"tawny/blend/flake"
	"tawny/colour"
)

// Worn is a blend on a skin: everything its look depends on.
type Worn struct {
	Ground        Ground
	Geometry      colour.Geometry // the look is told in; "" is the ground's
	Parts         []Part          // Pigment and Percent are read; the rest is not
	Apply         float64         // mg/cm² of product; 0 is bare skin
	Tilt          float64         // degrees; 0 means that of the application
	SurfaceShare  float64         // of the tilt, what the film's surface tilts with its flakes, 0 to 0.8; 0 is flat
	HazeOff       float64         // beside skin.HazeShare
	Base          Base
	Light, Second *colour.Viewing // nil means D65/2 and the stage lantern
}

// Look is what a blend on a skin is predicted to look like.
type Look struct {
	Reflectance colour.Spectrum                // as read in Worn.Geometry
	Lab         colour.Lab                     // under Light
	SecondLab   colour.Lab                     // under Second
	Shift       float64                        // ΔE00 between the two
	Views       map[colour.Geometry]colour.Lab // under Light, in each geometry
	Angles      []AngleLook                    // at flake.Aspecular, under light at 45°
	Covered     float64                        // share of the skin behind at least one flake, 0 to 1
}

// AngleLook is the look in one direction.
type AngleLook struct {
	AspecularDeg float64
	Reflectance  colour.Spectrum // radiance factor; may pass 1
	Lab          colour.Lab      // L* may pass 100
}

// Travel returns the change of the look from 15° to 110°.
func (l *Look) Travel() colour.LChShift {
	return colour.ShiftBetween(l.Angles[0].Lab, l.Angles[len(l.Angles)-1].Lab)
}

// WithDefaults returns the worn blend with its defaults taken, checked.
func (w Worn) WithDefaults() (Worn, error) {
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
	w.Ground.Geometry = w.Ground.Geometry.Assumed()
	if w.Geometry == "" {
		w.Geometry = w.Ground.Geometry
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
	w, err := w.WithDefaults()
	if err != nil {
		return nil, err
	}
	if err := w.checkParts(); err != nil {
		return nil, err
	}
	lain, err := w.lain()
	if err != nil {
		return nil, err
	}
	lain.together()
	l := &Look{Covered: w.covered(), Views: map[colour.Geometry]colour.Lab{}}
	for _, g := range colour.Geometries {
		r, err := lain.reading(g)
		if err != nil {
			return nil, err
		}
		l.Views[g] = w.Light.Lab(&r)
		if g == w.Geometry {
			l.Reflectance = r
		}
	}
	l.Lab, l.SecondLab = w.Light.Lab(&l.Reflectance), w.Second.Lab(&l.Reflectance)
	l.Shift = colour.Shift(&l.Reflectance, w.Light, w.Second)
	l.Angles, err = lain.angles(w.Light, flake.Aspecular[:])
	return l, err
}

// AtAngles returns the look in directions of so many degrees from the mirror's,
// under light at 45°.
func AtAngles(w Worn, aspecularDeg []float64) ([]AngleLook, error) {
	w, err := w.WithDefaults()
	if err != nil {
		return nil, err
	}
	if err := w.checkParts(); err != nil {
		return nil, err
	}
	lain, err := w.lain()
	if err != nil {
		return nil, err
	}
	lain.together()
	return lain.angles(w.Light, aspecularDeg)
}

func (l *lain) angles(light *colour.Viewing, aspecularDeg []float64) (all []AngleLook, err error) {
	for _, deg := range aspecularDeg {
		r, err := l.film.Angle(deg)
		if err != nil {
			return nil, err
		}
		a := AngleLook{AspecularDeg: deg, Reflectance: l.read(r)}
		a.Lab = light.Lab(&a.Reflectance)
		all = append(all, a)
	}
	return all, nil
}

// Diffuse returns the reflectance alone that Predict gives a worn blend, for
// those who need many. Amounts are taken as they come: a doubt may put a trace
// of powder a hair below none.
func Diffuse(w Worn) (colour.Spectrum, error) {
	w, err := w.WithDefaults()
	if err != nil {
		return colour.Spectrum{}, err
	}
	lain, err := w.lain()
	if err != nil {
		return colour.Spectrum{}, err
	}
	lain.together()
	return lain.reading(w.Geometry)
}

// covered is the share of skin under at least one flake: flakes lying at random
// leave e^−area of it bare.
func (w *Worn) covered() float64 {
	area := 0.0
	for _, p := range w.Parts {
		if o := &p.Pigment.Optics; o.Flake {
			area += w.Apply * p.Percent / 100 * o.FaceArea
		}
	}
	return -math.Expm1(-area)
}

// lain is a worn blend as the engine has it.
type lain struct {
	film    *Film
	under   Under
	bare    *Ground // set where nothing lies on it
	powders []*Powder
	mass    []float64
}

// lain lays a blend that has its defaults on its ground.
func (w *Worn) lain() (*lain, error) {
	lay := LayOf(w.Base.Index, w.Tilt, w.SurfaceShare)
	lay.HazeOff = w.HazeOff
	if w.Apply == 0 {
		lay.SurfaceDeg = 0
	}
	f, err := Kept(lay)
	if err != nil {
		return nil, err
	}
	l := &lain{film: f}
	if l.under, err = f.under(&w.Ground); err != nil {
		return nil, fmt.Errorf("bare skin: %w", err)
	}
	if w.Apply == 0 {
		l.bare = &w.Ground
		return l, nil
	}
	for _, p := range w.Parts {
		o := &p.Pigment.Optics
		if b := o.Binder(); b != 0 && b != w.Base.Index {
			return nil, fmt.Errorf("powder %q: its optics are for a binder of index %g, the film's has %g", p.Pigment.Name, b, w.Base.Index)
		}
		l.powders = append(l.powders, PowderOf(o))
		l.mass = append(l.mass, w.Apply*p.Percent/100)
	}
	if base := w.Base.Powder(); base != nil {
		l.powders, l.mass = append(l.powders, base), append(l.mass, w.Apply)
	}
	return l, nil
}

// together makes all coated flakes one powder, of mass 1: a film is linear in what
// they do, and each has to be made ready for every reader. For what is told of each
// powder, such as its glints, they are left apart.
func (l *lain) together() {
	area, flakes := 0.0, 0
	for i, p := range l.powders {
		if len(p.R) > 1 {
			area += l.mass[i] * p.FaceArea
			flakes++
		}
	}
	if flakes < 2 || area <= 0 {
		return
	}
	all := &Powder{FaceArea: area, R: make([]colour.Spectrum, nodes), T: make([]colour.Spectrum, nodes)}
	powders, mass := []*Powder{all}, []float64{1}
	for i, p := range l.powders {
		if len(p.R) <= 1 {
			powders, mass = append(powders, p), append(mass, l.mass[i])
			continue
		}
		share := l.mass[i] * p.FaceArea / area
		for q := range p.R {
			for b := range p.R[q] {
				all.R[q][b] += share * p.R[q][b]
				all.T[q][b] += share * p.T[q][b]
			}
		}
	}
	l.powders, l.mass = powders, mass
}

// reading is what is read in a geometry. Bare skin reads as it was read.
func (l *lain) reading(g colour.Geometry) (colour.Spectrum, error) {
	if l.bare != nil {
		if g == l.bare.Geometry {
			return l.bare.Reflectance, nil
		}
		return l.film.Bare(g, &l.under)
	}
	r, err := l.film.Reader(g)
	if err != nil {
		return colour.Spectrum{}, err
	}
	return l.read(r), nil
}

// read is what one reader reads. Nothing applied still has the binder's surface
// here.
func (l *lain) read(r *Reader) (out colour.Spectrum) {
	r.Read(&out, nil, &l.under, r.prepare(l.powders), l.mass)
	return out
}

// prepare makes powders ready.
func (r *Reader) prepare(powders []*Powder) []*Prepared {
	ready := make([]*Prepared, len(powders))
	for i, p := range powders {
		ready[i] = r.Prepare(p)
	}
	return ready
}

// jarAbsorption is the share of light a flake is taken to absorb in the jar
// beside what its optical constants say. On skin it is lost in the skin's own;
// in depth, where light meets flake after flake, it is all that keeps clear
// flakes from returning everything and so from having any colour. 0.07 % makes a
// jar of silver-white flakes about L* 92, as white pearl powders measure (from
// memory).
const jarAbsorption = 0.0007

// InTheJar returns the reflectance of the product too deep to see through,
// flakes lying every way and every powder as it is in a binder of the base's index,
// a wet lotion's water. The amounts per cm² do not matter, only the blend.
func InTheJar(w Worn) (colour.Spectrum, error) {
	w.Apply = 1
	w, err := w.WithDefaults()
	if err != nil {
		return colour.Spectrum{}, err
	}
	if err := w.checkParts(); err != nil {
		return colour.Spectrum{}, err
	}
	f, err := Kept(Lay{Index: w.Base.Index, TiltDeg: w.Tilt})
	if err != nil {
		return colour.Spectrum{}, err
	}
	r, err := f.Reader(w.Geometry)
	if err != nil {
		return colour.Spectrum{}, err
	}
	var powders []*Powder
	var mass []float64
	for _, p := range w.Parts {
		o, err := p.Pigment.Optics.In(w.Base.Index)
		if err != nil {
			return colour.Spectrum{}, fmt.Errorf("powder %q: %w", p.Pigment.Name, err)
		}
		stirred := *f.Stirred(PowderOf(o))
		for j := range stirred.MuA {
			stirred.MuA[j] += o.FaceArea * jarAbsorption / 2
		}
		powders, mass = append(powders, &stirred), append(mass, p.Percent/100)
	}
	if base := w.Base.Powder(); base != nil {
		powders, mass = append(powders, base), append(mass, 1)
	}
	return r.Infinite(r.prepare(powders), mass), nil
}
