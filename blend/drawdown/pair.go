package drawdown

import (
	"errors"
	"fmt"
	"math"

	"tawny/blend/film"
	"tawny/colour"
)

// Known says how much a band's readings determine.
type Known int

// What is known of a band.
const (
	Both      Known = iota // K and S
	RatioOnly              // K/S: the film hides its ground
)

// Band is one band of a film: K and S of the whole film, 0 where only their
// ratio is known. Noise can carry a K or S that is really 0 a little below it;
// it is returned as found.
type Band struct {
	K, S  float64
	Ratio float64 // K/S; +Inf for a film that does not scatter
	Known Known
}

// ErrPair means no film at all gives the two reflectances on the two grounds.
var (
	ErrPair    = errors.New("no film gives these two reflectances over these two grounds; check that the readings are not swapped")
	ErrGrounds = errors.New("the two grounds are too alike to tell a film's absorption from its scattering")
)

// hidden is the difference over black and white, relative to that of the
// grounds, below which a film counts as opaque even for exact readings.
const hidden = 1e-10

// Pair inverts one film over two grounds: r1 over g1 and r2 over g2, all below
// the surface and without a beam. noise is the standard error of r1 and r2; a
// difference within twice its own error is none, and then only K/S is known.
//
// Dividing Kubelka's solution out gives, for each ground,
//
//	K(R+g) − S(1−R)(1−g) + Y(R−g) = 0,   Y = √q coth √q,  q = K(K+2S)
//
// (the a, y form times S). Two grounds fix the ratio K : S : Y, and
// √q = artanh(√q/Y) fixes the scale. Nothing is divided by S or K, so a film
// may lack either.
func Pair(r1, g1, r2, g2, noise float64) (Band, error) {
	if !(math.Abs(g1-g2) > 1e-6) {
		return Band{}, ErrGrounds
	}
	if d := math.Abs(r1 - r2); d <= hidden*math.Abs(g1-g2) || d <= 2*math.Sqrt2*noise {
		r := film.Ratio((r1 + r2) / 2)
		return Band{Ratio: r, Known: RatioOnly}, nil
	}
	// The cross product of the two equations' coefficients.
	k := (r1-g1)*(1-r2)*(1-g2) - (r2-g2)*(1-r1)*(1-g1)
	s := 2 * (r1*g2 - g1*r2)
	y := (1-r1)*(1-g1)*(r2+g2) - (r1+g1)*(1-r2)*(1-g2)
	if y < 0 {
		k, s, y = -k, -s, -y
	}
	z2 := k * (k + 2*s) / (y * y) // tanh²√q
	if !(z2 < 1) {
		return Band{}, ErrPair
	}
	scale := artanhc(z2) / y
	k, s = k*scale, s*scale
	ratio := math.Inf(1)
	if s != 0 {
		ratio = k / s
	}
	return Band{K: k, S: s, Ratio: ratio, Known: Both}, nil
}

// artanhc returns artanh(z)/z by z², which for a slightly negative z² is
// arctan of the root over the root.
func artanhc(z2 float64) float64 {
	if math.Abs(z2) < 1e-4 {
		return 1 + z2/3 + z2*z2/5 + z2*z2*z2/7
	}
	z := math.Sqrt(math.Abs(z2))
	if z2 < 0 {
		return math.Atan(z) / z
	}
	return math.Atanh(z) / z
}

// closedForm finds an ordinary powder from one film read over two grounds, and
// says in which bands both K and S are known; elsewhere both are 0 and
// FitPowder's Ratio says what there is.
func closedForm(a, b Reading) (p Powder, known [colour.Bands]Known, err error) {
	if a.Mass != b.Mass {
		return p, known, fmt.Errorf("drawdown: one film has one areal mass, but %g and %g mg/cm² were given", a.Mass.MgPerCM2, b.Mass.MgPerCM2)
	}
	a.Film, b.Film = "", ""
	obs, _, err := observe([]Reading{a, b}, Noise{})
	if err != nil {
		return p, known, err
	}
	for j := range p.K {
		var r [2]float64
		for i := range obs {
			o := &obs[i]
			if r[i], err = o.Surface.Below(o.Read[j]); err != nil {
				return p, known, fmt.Errorf("drawdown: at %g nm: %w", colour.WavelengthNM(j), err)
			}
		}
		f, err := Pair(r[0], obs[0].rg[j], r[1], obs[1].rg[j], 0)
		if err != nil {
			return p, known, fmt.Errorf("drawdown: at %g nm: %w", colour.WavelengthNM(j), err)
		}
		if known[j] = f.Known; f.Known == Both {
			p.K[j] = (f.K - a.BinderK[j]) / a.Mass.MgPerCM2
			p.S[j] = (f.S - a.BinderS[j]) / a.Mass.MgPerCM2
		}
	}
	return p, known, nil
}

// OnePair reports whether the readings are one film over two grounds, which
// leaves nothing over to say of its mass.
func OnePair(readings []Reading) bool {
	return len(readings) == 2 && readings[0].Film == readings[1].Film
}

// TakeClosedForm puts the closed form's K and S into a fit where one film of an
// ordinary powder over two grounds gives them in every band; the residuals are
// then rounding only. It reports whether it did.
func (f *Fit) TakeClosedForm(readings []Reading) (bool, error) {
	if f.Powder.Flake || !OnePair(readings) {
		return false, nil
	}
	p, known, err := closedForm(readings[0], readings[1])
	if err != nil {
		return false, nil // no closed form: the fit stays
	}
	for j := range known {
		rounding := 1e-9 * (math.Abs(p.K[j]) + math.Abs(p.S[j]))
		if known[j] != Both || p.K[j] < -rounding || p.S[j] < -rounding {
			return false, nil
		}
		// A K of 0 may come back as a last digit below it.
		p.K[j], p.S[j] = max(0, p.K[j]), max(0, p.S[j])
	}
	f.Powder = p
	f.Mean, f.Worst, f.WorstAt = 0, 0, 0
	for i := range readings {
		model, err := f.Powder.Predict(&readings[i])
		if err != nil {
			return false, err
		}
		r := &f.Readings[i]
		r.Model = colour.D65.Lab(&model)
		r.DeltaE00 = colour.DeltaE00(r.Read, r.Model)
		f.Mean += r.DeltaE00 / float64(len(readings))
		f.Worst = max(f.Worst, r.DeltaE00)
	}
	return true, nil
}
