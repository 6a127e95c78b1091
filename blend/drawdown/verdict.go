package drawdown

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"tawny/blend/film"
	"tawny/colour"
)

// Verdict says in a word how far a fit can be relied on.
type Verdict string

// The three verdicts.
const (
	Holds       Verdict = "holds"
	WithCare    Verdict = "use with care"
	DoesNotHold Verdict = "does not hold"
)

// Bounds of the verdicts on the residuals' ΔE00. Conventions of this tool: 1
// is about the least difference seen side by side (common practice), and a
// model fit for blending should lie within half of it on average.
const (
	holdsMean, holdsMost = 0.5, 1.0
	careMean, careMost   = 1.0, 2.0
	holdsDoubt           = 1.0
)

// Grounds closer than this in reflectance, RMS over the bands, count as one: a
// film over both tells absorption from scattering badly (convention; drawdown
// cards are some 0.75 apart).
const sameGround = 0.1

// The grounds a doubt is looked at over, below the surface: about what the
// black and the white of a drawdown card are (common practice).
const blackGround, whiteGround = 0.02, 0.85

// worse lowers the verdict and gives the reason.
func (f *Fit) worse(to Verdict, reason string, args ...any) {
	if f.Verdict != DoesNotHold {
		f.Verdict = to
	}
	f.Reasons = append(f.Reasons, fmt.Sprintf(reason, args...))
}

// judge sets the verdict and its reasons.
func (f *Fit) judge(w *work) {
	f.Verdict = Holds
	switch {
	case f.Mean > careMean || f.Worst > careMost:
		f.worse(DoesNotHold, "the readings differ from the fitted powder by ΔE00 %.2f on average and %.2f at worst (reading %d): one K and S do not explain them", f.Mean, f.Worst, f.WorstAt+1)
	case f.Mean > holdsMean || f.Worst > holdsMost:
		f.worse(WithCare, "the readings differ from the fitted powder by ΔE00 %.2f on average and %.2f at worst (reading %d)", f.Mean, f.Worst, f.WorstAt+1)
	}
	if len(f.Readings) == 2 {
		f.worse(WithCare, "two readings fix K and S and leave none over to test them with")
	}
	if oneGround(w.obs) {
		f.worse(WithCare, "only one ground was read, so what the powder absorbs and what it scatters are hardly told apart; read the films over black and over white")
	}
	f.Doubt = w.doubt(f)
	if f.Doubt > holdsDoubt {
		f.worse(WithCare, "what is known of K and S leaves a film like these open by ΔE00 %s, 95 in 100; more films over both grounds, or masses known better, would narrow it", f.DoubtWords())
	}
	least, greatest := math.Inf(1), 0.0
	for _, m := range w.given {
		least, greatest = min(least, m), max(greatest, m)
	}
	if greatest < 1.5*least {
		f.worse(WithCare, "all films carry about %.3g mg/cm²; how the powder behaves at other loads was not seen", greatest)
	}
	bands := 0
	for _, k := range f.RatioOnly {
		if k {
			bands++
		}
	}
	if bands > 0 {
		reason := "the films hide what is under them in %d of %d bands, so they show absorption against scattering (K/S) there but not how much of each; draw a thinner film, one through which black and white are told apart"
		if 4*bands > colour.Bands {
			f.worse(WithCare, reason, bands, colour.Bands)
		} else {
			f.Reasons = append(f.Reasons, fmt.Sprintf(reason, bands, colour.Bands))
		}
	}
	for _, m := range f.Films {
		if math.Abs(m.Off) > 2.5 {
			more := "more"
			if m.Off < 0 {
				more = "less"
			}
			f.worse(WithCare, "film %s looks as if it carried %.0f %% %s powder than stated; weigh or draw it again", m.Name, 100*math.Abs(m.Seen/m.MgPerCM2-1), more)
		}
	}
	if slope, sure := f.trend(w); sure {
		f.worse(WithCare, "the readings turn %s than the fit as the load rises: grains may crowd or clump; keep to loads near those used", colour.LightnessWords.Of(slope))
	}
	for i := range w.obs {
		if w.obs[i].FromLab {
			f.worse(WithCare, "some readings were L*a*b* only, made into smooth spectra first")
			break
		}
	}
	if w.like.Flake {
		f.Reasons = append(f.Reasons, "the tilt of the flakes was assumed: these readings do not show how the shimmer changes with angle")
	}
	if f.Verdict == Holds {
		f.Reasons = append([]string{fmt.Sprintf("the readings agree with the fitted powder to ΔE00 %.2f on average and %.2f at worst", f.Mean, f.Worst)}, f.Reasons...)
	}
}

// oneGround reports whether all readings were taken over about one ground.
func oneGround(obs []observation) bool {
	for i := range obs[1:] {
		if colour.RMS(&obs[i+1].under.Below, &obs[0].under.Below) > sameGround {
			return false
		}
	}
	return true
}

// doubt moves K to either end of its 95 % band in all wavelengths together, S
// following as the readings tie them, then S likewise, and returns the largest
// change of colour of the heaviest film over black and over white. Moving all
// bands together is what a wrong mass does, the larger part of the error;
// for noise, which the bands hardly share, it is on the safe side.
func (w *work) doubt(f *Fit) (most float64) {
	o := w.obs[0]
	for i := range w.obs {
		if w.obs[i].Mass.MgPerCM2 > o.Mass.MgPerCM2 {
			o = w.obs[i]
		}
	}
	o.m = o.Mass.MgPerCM2
	look := func(which int, by float64) colour.Lab {
		var r colour.Spectrum
		for j := range r {
			k, s := f.Powder.K[j], f.Powder.S[j]
			if by != 0 {
				k, s = max(0, k+by*w.spread[j][which][0]), max(0, s+by*w.spread[j][which][1])
			}
			r[j] = o.reads(j, k, s)
		}
		return colour.D65.Lab(&r)
	}
	for _, g := range [2]float64{blackGround, whiteGround} {
		o.under = film.Under{Below: colour.Constant(g), Mirror: 1}
		is := look(0, 0)
		for which := range 2 {
			for _, by := range [2]float64{-z95, z95} {
				d := colour.DeltaE00(is, look(which, by))
				if math.IsNaN(d) || math.IsInf(d, 0) {
					return math.MaxFloat64
				}
				most = max(most, d)
			}
		}
	}
	return most
}

// DoubtWords writes the doubt; past 10 its size says nothing more.
func (f *Fit) DoubtWords() string {
	if f.Doubt > 10 {
		return "10 or more"
	}
	return fmt.Sprintf("%.1f", f.Doubt)
}

// trend returns the slope of the readings' lightness residual against the
// logarithm of the load, and whether it is surely there and matters: three
// standard errors, and 0.5 in L* from the least load to the greatest.
func (f *Fit) trend(w *work) (slope float64, sure bool) {
	if len(w.obs) < 5 {
		return 0, false
	}
	x, y := make([]float64, len(w.obs)), make([]float64, len(w.obs))
	for i := range w.obs {
		x[i] = math.Log(w.obs[i].Mass.MgPerCM2)
		y[i] = f.Readings[i].Read.L - f.Readings[i].Model.L
	}
	sxx, sxy, syy := stat.Variance(x, nil), stat.Covariance(x, y, nil), stat.Variance(y, nil)
	if sxx == 0 {
		return 0, false
	}
	slope = sxy / sxx
	e := math.Sqrt(max(0, syy-slope*sxy) / float64(len(x)-2) / sxx)
	return slope, math.Abs(slope) > 3*e && math.Abs(slope)*(slices.Max(x)-slices.Min(x)) > 0.5
}
