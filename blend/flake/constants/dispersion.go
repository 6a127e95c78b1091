package constants

import (
	"math"
	"math/cmplx"

	"tawny/colour"
)

// hcEVNM is Planck's constant times the speed of light, eV·nm (CODATA 2018).
const hcEVNM = 1239.841984

// Sellmeier is the one-term dispersion of a transparent material,
// n² = A + B/(λ² − C), with λ in micrometres.
type Sellmeier struct{ A, B, C float64 }

// N returns the real refractive index at a vacuum wavelength in nm.
func (s Sellmeier) N(nm float64) float64 {
	um2 := nm * nm * 1e-6
	return math.Sqrt(s.A + s.B/(um2-s.C))
}

// Oscillator is one term of a Lorentz sum.
type Oscillator struct {
	Amplitude float64 // f, dimensionless; negative only in a numerical fit
	Energy    float64 // E_j, eV
	Width     float64 // γ_j, eV
}

// Lorentz is ε(E) = Infinity + Σ f E_j²/(E_j² − E² − iγE).
type Lorentz struct {
	Infinity    float64 // ε∞, dimensionless
	Oscillators []Oscillator
}

// Epsilon returns the dielectric function at a vacuum wavelength in nm.
func (l Lorentz) Epsilon(nm float64) complex128 {
	e := hcEVNM / nm
	eps := complex(l.Infinity, 0)
	for _, o := range l.Oscillators {
		e2 := o.Energy * o.Energy
		eps += complex(o.Amplitude*e2, 0) / complex(e2-e*e, -o.Width*e)
	}
	return eps
}

// Dimmed is a Lorentz sum with less of its k: the share Share[i] at NM[i] (nm, in
// rising order), straight between and level beyond. Its n is left as it is.
type Dimmed struct {
	Of        Lorentz
	NM, Share []float64
}

// Epsilon returns the dielectric function at a vacuum wavelength in nm.
func (d Dimmed) Epsilon(nm float64) complex128 {
	i, j, t := colour.Place(nm, len(d.NM), func(k int) float64 { return d.NM[k] })
	share := d.Share[i] + t*(d.Share[j]-d.Share[i])
	z := cmplx.Sqrt(d.Of.Epsilon(nm))
	z = complex(real(z), imag(z)*share)
	return z * z
}
