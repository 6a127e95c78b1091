package film

import (
	"fmt"
	"math"

	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
)

// Glint is how much single flakes show: the look near the mirror direction,
// 15° aspecular, under a lamp.
type Glint struct {
	PerCM2   float64 // flakes on each cm² of skin that send the lamp to the eye
	Contrast float64 // of the finest spots an eye tells apart: their spread over their mean
	Word     string  // satin, pearl or sparkle; "" without flakes
}

// The scene glints are counted in. The lamp is 20 cm wide at 2 m; the eye's
// pupil 4 mm at half a metre, as one looks at another's arm; the finest spot an eye
// tells apart is a minute of arc, at 40 cm, as one looks at one's own for the finest
// there is (all common practice). Diffraction is reckoned where
// the eye is most sensitive.
const (
	glintLampDeg = 3
	glintEyeRad  = 0.004
	glintUM      = 0.55
)

// SpotMM is the finest spot an eye tells apart, mm across.
const SpotMM = 0.116

// Where the light of one spot differs from the next by less than the first
// share of its mean the eye sees a sheen, by more than the second single
// points on a calm ground. A convention of this tool, set so that bright
// powders of 4–14 µm, 10–55 µm and 28–118 µm come out as the trade calls
// those grades: satin, pearl and sparkle (common practice).
const (
	satinContrast   = 1.05
	sparkleContrast = 5.25
)

// GrainWords are the words for a grain, the finest first.
var GrainWords = [3]string{"satin", "pearl", "sparkle"}

// GrainWord returns the word for a contrast.
func GrainWord(contrast float64) string {
	switch {
	case contrast < satinContrast:
		return GrainWords[0]
	case contrast > sparkleContrast:
		return GrainWords[2]
	}
	return GrainWords[1]
}

// GrainBounds returns the contrasts between which a film has a grain; false for
// a word that is none.
func GrainBounds(word string) (lo, hi float64, ok bool) {
	switch word {
	case GrainWords[0]:
		return 0, satinContrast, true
	case GrainWords[1]:
		return satinContrast, sparkleContrast, true
	case GrainWords[2]:
		return sparkleContrast, math.Inf(1), true
	}
	return 0, 0, false
}

// Glints returns how much single flakes of a worn blend show.
//
// Flakes of areal mass m and face area a per mass have a·m of face on each
// unit of skin, and so n = a·m / (π/4 ⟨d²⟩) of them. Of those,
//
//	N = n · D(β) cosβ · Ω / (4 n² cosθ_loc)
//
// are tilted so as to send the lamp to the eye, where Ω/n² is the solid angle in
// the binder of lamp, eye and the flake's own diffraction together.
func Glints(w Worn) (Glint, error) {
	w, err := w.WithDefaults()
	if err != nil {
		return Glint{}, err
	}
	if err := w.checkParts(); err != nil {
		return Glint{}, err
	}
	lain, err := w.lain()
	if err != nil {
		return Glint{}, err
	}
	speckle, err := lain.film.Speckle()
	if err != nil {
		return Glint{}, err
	}
	var g Glint
	coarse := make([]float64, len(lain.powders))
	for i, p := range w.Parts {
		mass := lain.mass[i]
		if !p.Pigment.Optics.Flake || mass == 0 {
			continue
		}
		if coarse[i] = speckle.Coarseness(p.Pigment); coarse[i] == 0 {
			return Glint{}, fmt.Errorf("powder %q: its flakes cannot be counted without sizes and face area", p.Pigment.Name)
		}
		g.PerCM2 += mass * speckle.scene.PerMass(p.Pigment)
	}
	var seen colour.Spectrum
	ready := speckle.View.prepare(lain.powders)
	speckle.View.Read(&seen, nil, &lain.under, ready, lain.mass)
	mean := colour.D65.XYZ(&seen).Y / 100
	variance := speckle.Variance(ready, coarse, lain.mass, nil, nil, nil)
	if g.PerCM2 == 0 || mean <= 0 {
		return g, nil
	}
	g.Contrast = math.Sqrt(variance) / mean
	g.Word = GrainWord(g.Contrast)
	return g, nil
}

// Blur is how wide the light of a lamp that a flake mirrors to an eye is spread:
// half-angles squared in the binder times n², rad², so that Ω is π times them.
type Blur struct {
	steady      float64 // of lamp and eye
	diffraction float64 // of the flake, × d² in µm
}

// NewBlur returns that of a lamp of a half-angle, degrees, light and eye at these
// cosines in air. A cone of solid angle ω narrows on entering by n² cosθ_b dω_b =
// cosθ_a dω_a, more than by n² where it stands aslant.
func (f *Film) NewBlur(lampDeg, cosLight, cosEye float64) Blur {
	l := lampDeg * math.Pi / 180
	narrow := func(cos float64) float64 { return cos / math.Sqrt(1-(1-cos*cos)/(f.Index*f.Index)) }
	// A flake's half-angle is λ/(n d) inside the binder.
	return Blur{l*l*narrow(cosLight) + glintEyeRad*glintEyeRad*narrow(cosEye), glintUM * glintUM}
}

// At returns the part of a flake d µm across.
func (b Blur) At(d float64) float64 { return b.steady + b.diffraction/(d*d) }

// Omega returns the mean of Ω over the number of flakes, sr.
func (b Blur) Omega(z Size) float64 { return math.Pi * (b.steady + b.diffraction*z.Moment(-2)) }

// Steady returns the share of Ω, over the number of flakes, that is lamp and
// eye.
func (b Blur) Steady(z Size) float64 { return math.Pi * b.steady / b.Omega(z) }

// GlintScene is what the number of glints depends on beside the flakes.
type GlintScene struct {
	in, out vec     // of the light and of what the eye sees, in air
	chance  float64 // per sr
	blur    Blur
}

// GlintScene returns that of a film seen near the mirror direction, at the first
// of flake.Aspecular.
func (f *Film) GlintScene() GlintScene {
	in, out := towards(45), towards(45-flake.Aspecular[0])
	out[2] = -out[2]
	d, _, m := f.mirrored(flake.Aspecular[0])
	return GlintScene{in, out, f.GlintChance(m[2], d.dot(m)), f.NewBlur(glintLampDeg, in[2], -out[2])}
}

// PerMass returns glints per mg of powder; 0 where size or face area is not
// known.
func (s *GlintScene) PerMass(g *palette.Pigment) float64 {
	if !g.Optics.Flake || !(g.D50 > 0) {
		return 0
	}
	z := SizeOf(g)
	return z.PerCM2(g.Optics.FaceArea) * s.chance * s.blur.Omega(z)
}

// unevenness returns E[b²]/E[b]² of the brightness of glints. A flake shows in
// proportion to its Ω and is then as bright as d²/Ω, so this is
// ⟨d⁴/Ω⟩⟨Ω⟩ / ⟨d²⟩² over the number of flakes.
func (z Size) unevenness(b Blur) float64 {
	// ⟨d⁴/Ω⟩ in ln d by the trapezium rule, which for a Gaussian is good to
	// every digit.
	const points, reach = 60, 8.0
	sum, all, spread := 0.0, 0.0, z.Spread()
	middle := math.Log(z.D50) - 2*spread*spread
	for i := -points; i <= points; i++ {
		u := reach * float64(i) / points
		// The integrand leans towards large flakes; centre on its own peak.
		d := math.Exp(middle + 4*spread*spread + spread*u)
		w := math.Exp(-u * u / 2)
		sum += w / b.At(d)
		all += w
	}
	return z.Moment(4) * sum / all * b.Omega(z) / math.Pi / (z.Moment(2) * z.Moment(2))
}
