package constants

import "math"

// Band is one absorption band, Gaussian in ε″ over photon energy. Unlike a
// Lorentz oscillator it has no far tails, as bands in solids broadened by
// vibration have none.
type Band struct {
	Peak   float64 // ε″ at the middle, dimensionless
	Energy float64 // middle, eV
	Width  float64 // full width at half maximum, eV
}

// Gaussians is a transparent background with absorption bands:
// ε = n² of Background + Σ bands, each with the real part that goes with it by
// Kramers and Kronig,
//
//	ε″(E) = Peak (e^(−((E−E₀)/s)²) − e^(−((E+E₀)/s)²)),   s = Width/(2 √ln 2)
//	ε′(E) = 2 Peak/√π (F((E+E₀)/s) − F((E−E₀)/s)),        F Dawson's integral
//
// (De Sousa Meneses, Malki and Echegut, J. Non-Cryst. Solids 352 (2006) 769).
type Gaussians struct {
	Background Sellmeier
	Bands      []Band
}

// Epsilon returns the dielectric function at a vacuum wavelength in nm.
func (g Gaussians) Epsilon(nm float64) complex128 {
	e := hcEVNM / nm
	n := g.Background.N(nm)
	re, im := n*n, 0.0
	for _, b := range g.Bands {
		s := b.Width / (2 * math.Sqrt(math.Ln2))
		low, high := (e-b.Energy)/s, (e+b.Energy)/s
		im += b.Peak * (math.Exp(-low*low) - math.Exp(-high*high))
		re += 2 * b.Peak / math.Sqrt(math.Pi) * (dawson(high) - dawson(low))
	}
	return complex(re, im)
}

// dawson returns Dawson's integral F(x) = e^(−x²) ∫₀ˣ e^(t²) dt, from Rybicki's
// sum F(x) = lim 1/√π Σ e^(−(x−kh)²)/k over odd k (Computers in Physics 3
// (1989) 85), whose error falls as e^(−(π/2h)²): below 1e-15 at h = 0.25.
func dawson(x float64) float64 {
	const h = 0.25
	if math.Abs(x) < 1e-3 {
		return x * (1 - 2*x*x/3)
	}
	centre := int(math.Abs(x)/h) | 1 // an odd k beside x/h
	sum := 0.0
	for k := centre - 26; k <= centre+26; k += 2 {
		d := math.Abs(x) - float64(k)*h
		sum += math.Exp(-d*d) / float64(k)
	}
	return math.Copysign(sum/math.Sqrt(math.Pi), x)
}
