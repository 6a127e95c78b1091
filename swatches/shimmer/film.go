package shimmer

import (
	"fmt"
	"math"

	"tawny/blend/film"
	"tawny/colour"
)

// Film is how bare or filmed skin returns light.
type Film struct {
	// Even is the radiance factor of the light returned alike in every
	// direction, for light at 45° incidence; surface gloss left out.
	Even colour.Spectrum
	// Fill is the whole reflectance under even light from all sides, surface
	// gloss left out.
	Fill colour.Spectrum
	// Flakes are the kinds of flake in the film; none for bare skin.
	Flakes []Flakes
	// TiltDeg is σ, how far the flakes lie from flat, degrees.
	TiltDeg float64
	// Index is the binder's refractive index; 0 means film.DefaultIndex.
	Index float64
}

// Flakes is one kind of flake: a powder, or one thickness class of a powder
// where glints should differ as single flakes do.
type Flakes struct {
	Name   string
	PerCM2 float64 // flakes in the film over each cm² of skin
	Size   film.Size
	Beam   []Beam // by rising LocalDeg
}

// Beam is the share P of light that flakes of one kind mirror in first order.
type Beam struct {
	LocalDeg float64 // angle of incidence on the flake inside the binder, degrees
	P        colour.Spectrum
}

func (f *Film) index() float64 {
	if f.Index == 0 {
		return film.DefaultIndex
	}
	return f.Index
}

// Check reports the first value that cannot be pictured.
func (f *Film) Check() error {
	if n := f.index(); !(n > 1 && n <= 2) {
		return fmt.Errorf("the binder's refractive index is %g; above 1 to 2 is accepted", n)
	}
	if err := checkSpectrum("the even part", &f.Even); err != nil {
		return err
	}
	if err := checkSpectrum("the fill part", &f.Fill); err != nil {
		return err
	}
	if len(f.Flakes) > 0 && !(f.TiltDeg > 0 && f.TiltDeg <= 40) {
		return fmt.Errorf("the tilt of the flakes is %g degrees; above 0 to 40 is accepted", f.TiltDeg)
	}
	for i := range f.Flakes {
		if err := f.Flakes[i].check(); err != nil {
			return err
		}
	}
	return nil
}

func (k *Flakes) check() error {
	if !(k.PerCM2 >= 0 && k.PerCM2 < 1e12) {
		return fmt.Errorf("%s has %g flakes in a cm²; 0 to 10¹² are accepted", k.Name, k.PerCM2)
	}
	z := k.Size
	if !(z.D50 > 0 && z.D50 < 5000) {
		return fmt.Errorf("%s: the median flake is %g µm; above 0 to 5000 is accepted", k.Name, z.D50)
	}
	if (z.D10 != 0 || z.D90 != 0) && !(z.D10 > 0 && z.D10 <= z.D50 && z.D50 <= z.D90 && z.D90/z.D10 < 100) {
		return fmt.Errorf("%s: flake sizes d10, d50, d90 are %g, %g, %g µm; rising sizes are accepted", k.Name, z.D10, z.D50, z.D90)
	}
	if len(k.Beam) == 0 {
		return fmt.Errorf("%s has no beam", k.Name)
	}
	for i := range k.Beam {
		if i > 0 && !(k.Beam[i].LocalDeg > k.Beam[i-1].LocalDeg) {
			return fmt.Errorf("%s: the beam's angles do not rise at %g degrees", k.Name, k.Beam[i].LocalDeg)
		}
		if err := checkSpectrum(k.Name, &k.Beam[i].P); err != nil {
			return err
		}
	}
	return nil
}

func checkSpectrum(name string, s *colour.Spectrum) error {
	for i, v := range s {
		if !(v >= 0 && v <= 2) {
			return fmt.Errorf("%s is %g at %g nm; 0 to 2 is accepted", name, v, colour.WavelengthNM(i))
		}
	}
	return nil
}

// beamAt puts in p the beam at a local angle, linear between those given and
// the nearest beyond them.
func (k *Flakes) beamAt(localDeg float64, p *colour.Spectrum) {
	b := k.Beam
	switch {
	case localDeg <= b[0].LocalDeg:
		*p = b[0].P
		return
	case localDeg >= b[len(b)-1].LocalDeg:
		*p = b[len(b)-1].P
		return
	}
	i := 1
	for b[i].LocalDeg < localDeg {
		i++
	}
	t := (localDeg - b[i-1].LocalDeg) / (b[i].LocalDeg - b[i-1].LocalDeg)
	for j := range p {
		p[j] = b[i-1].P[j] + t*(b[i].P[j]-b[i-1].P[j])
	}
}

// lain returns how the film lies.
func (f *Film) lain() (*film.Film, error) {
	return film.Kept(film.Lay{Index: f.index(), TiltDeg: f.TiltDeg})
}

const degree = math.Pi / 180
