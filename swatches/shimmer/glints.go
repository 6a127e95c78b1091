package shimmer

import (
	"math"

	"tawny/blend/film"
)

// glintNM is the wavelength, nm, that diffraction is reckoned at: the eye's
// most sensitive.
const glintNM = 550

// eyeRad is the half-angle, radians, of an eye's 4 mm pupil at half a metre
// (pupil in room light, common practice).
const eyeRad = 0.004

// blur2 returns the squared half-angles, as seen in air, of lamp and eye
// together, and the constant c that makes c/d² the diffraction of a flake of
// diameter d µm: inside the binder its half-angle is λ/(n·d), which opens to
// λ/d on leaving.
func blur2(lampDeg float64) (steady, diffraction float64) {
	l := lampDeg * degree
	const um = glintNM / 1000.0
	return l*l + eyeRad*eyeRad, um * um
}

// meanOmega returns the mean of Ω over the number of flakes, sr.
func meanOmega(s film.Size, steady, diffraction float64) float64 {
	return math.Pi * (steady + diffraction*s.Moment(-2))
}

// GlintsPerCM2 returns how many flakes on each cm² of flat skin send the key
// light to the eye in the scene.
func GlintsPerCM2(f *Film, s Scene) (float64, error) {
	s = s.Filled()
	if err := f.Check(); err != nil {
		return 0, err
	}
	if err := s.Check(); err != nil {
		return 0, err
	}
	g, ok := geometry(vector{0, 0, 1}, across(s.LightDeg), across(s.EyeDeg), f.index(), f.tilt())
	if !ok {
		return 0, nil
	}
	steady, diffraction := blur2(s.LampDeg)
	sum := 0.0
	for i := range f.Flakes {
		sum += g.glints(&f.Flakes[i], f.index(), steady, diffraction)
	}
	return sum, nil
}

// glints returns N of one kind of flake, per cm² of skin.
func (g *lobe) glints(k *Flakes, n, steady, diffraction float64) float64 {
	return k.PerCM2 * g.d * g.cosTilt * meanOmega(k.Size, steady, diffraction) / (4 * n * n * g.cosLocal)
}
