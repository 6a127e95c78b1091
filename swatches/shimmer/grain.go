package shimmer

import (
	"math"

	"tawny/colour"
)

// Grain is how much single flakes show, seen near the mirror angle (15°
// aspecular) under the scene's lamp.
type Grain struct {
	Word     string  // satin, pearl or sparkle; empty without flakes
	PerCM2   float64 // glints on each cm² of skin
	Contrast float64 // of the finest spots an eye tells apart, by their spread over their mean
}

// The finest spot that an eye tells apart is a minute of arc, here at 40 cm.
const spotMM = 0.116

// The words are a convention of this tool. Where the light of one spot differs
// from the next by less than satinContrast of its mean the eye sees a sheen,
// and by more than sparkleContrast single points on a calm ground. At 5 % of
// powder and 1 mg/cm² bright powders of 4–14 µm, 10–55 µm and 28–118 µm come
// out as satin, pearl and sparkle on light skin and brown, as the trade calls
// those grades (common practice). Flakes show more on deeper skin.
const (
	satinContrast   = 1.0
	sparkleContrast = 4.8
)

// GrainOf finds the grain of a film under the scene's lamp.
func GrainOf(f *Film, s Scene) (Grain, error) {
	s.LightDeg, s.EyeDeg, s.Flat = 45, AspecularEye(15), true
	n, err := GlintsPerCM2(f, s)
	if err != nil || n == 0 {
		return Grain{}, err
	}
	s = s.Filled()
	g, _ := geometry(vector{0, 0, 1}, across(s.LightDeg), across(s.EyeDeg), f.index(), f.tilt())
	steady, diffraction := blur2(s.LampDeg)
	spot := math.Pi / 4 * spotMM * spotMM / 100 / g.co // cm² of skin
	var p colour.Spectrum
	mean := colour.D65.XYZ(&f.Even).Y / 100
	variance := 0.0
	for i := range f.Flakes {
		k := &f.Flakes[i]
		if k.PerCM2 == 0 {
			continue
		}
		k.beamAt(g.localDeg(), &p)
		light := colour.D65.XYZ(&p).Y / 100 * g.weight()
		mean += light
		// A sum of Poisson many glints of unequal brightness b: variance
		// light² E[b²]/E[b]² / count.
		variance += light * light * k.Size.unevenness(steady, diffraction) / (g.glints(k, f.index(), steady, diffraction) * spot)
	}
	if mean <= 0 {
		return Grain{PerCM2: n}, nil
	}
	r := Grain{PerCM2: n, Contrast: math.Sqrt(variance) / mean, Word: "pearl"}
	switch {
	case r.Contrast < satinContrast:
		r.Word = "satin"
	case r.Contrast > sparkleContrast:
		r.Word = "sparkle"
	}
	return r, nil
}

// unevenness is E[b²]/E[b]² of the brightness b of the glints of one size.
func (s Size) unevenness(steady, diffraction float64) float64 {
	b := newBrightness(s, steady, diffraction)
	sum := 0.0
	for part, weight := range [2]float64{b.steady, 1 - b.steady} {
		for _, v := range b.table[part] {
			sum += weight * v * v / brightnessSteps
		}
	}
	return sum
}
