package grain

import (
	"fmt"
	"math"

	"tawny/blend/flake/mie"
	"tawny/colour"
)

// What a grain is when nothing else is said.
const (
	DefaultGSD    = 1.5  // geometric standard deviation of a milled pigment (common practice, 1.4 to 1.8)
	DefaultBinder = 1.47 // as for flakes
)

// Grain is an ordinary pigment: grains of one material turned every way, with
// a lognormal distribution of sizes, in a clear binder.
type Grain struct {
	Material   string  // a material of package constants
	DiameterUM float64 // µm, median by volume (d50), 0.01 to 30
	GSD        float64 // geometric standard deviation, 1 to 3; 0 means 1.5
	Binder     float64 // refractive index around the grains, 1 to 2; 0 means 1.47
	Density    float64 // g/cm³; 0 means the material's
}

// Optics is what grains do to light per unit areal mass.
type Optics struct {
	K   colour.Spectrum // absorption of diffuse light, 2 μ_a, cm²/mg
	S   colour.Spectrum // scattering of diffuse light, about ¾ μ_s′, cm²/mg
	MuA colour.Spectrum // absorption along a ray, cm²/mg
	MuS colour.Spectrum // reduced scattering μ_s′ = μ_s(1 − g), cm²/mg
}

// Optics returns K and S in every band.
func (g Grain) Optics() (Optics, error) {
	g, m, err := g.complete()
	if err != nil {
		return Optics{}, err
	}
	diameter, share := sizes(g.DiameterUM, g.GSD)
	var o Optics
	var w mie.Workspace
	for b := range o.K {
		nm := colour.WavelengthNM(b)
		relative := m.Index(nm) / complex(g.Binder, 0)
		for i, d := range diameter {
			e, err := w.Sphere(math.Pi*d*1000*g.Binder/nm, relative)
			if err != nil {
				return Optics{}, fmt.Errorf("%s, %g µm at %g nm: %w", m.Name, d, nm, err)
			}
			// Shadow over mass of a sphere, 3/(2dρ): µm and g/cm³ to cm²/mg.
			perMass := share[i] * 15 / (d * g.Density)
			o.MuA[b] += perMass * e.Abs
			o.MuS[b] += perMass * e.Sca * (1 - e.G)
		}
		o.K[b] = 2 * o.MuA[b]
		o.S[b] = backscatter(o.MuS[b], o.MuA[b])
	}
	return o, nil
}

// DiffusionS returns S = ¾ μ_s′ − ¼ μ_a, the diffusion limit, with the number
// of bands in which that is negative and 0 stands in its place. It is not used
// for S; see the package's comment.
func (o *Optics) DiffusionS() (s colour.Spectrum, raised int) {
	for b := range s {
		s[b] = 0.75*o.MuS[b] - 0.25*o.MuA[b]
		if s[b] < 0 {
			s[b] = 0
			raised++
		}
	}
	return s, raised
}

// Masstone returns the reflectance of an opaque layer below its surface,
// R∞ = 1 + K/S − √((K/S)² + 2K/S); 0 where S is 0.
func (o *Optics) Masstone() (r colour.Spectrum) {
	for b := range r {
		if o.S[b] > 0 {
			q := o.K[b] / o.S[b]
			r[b] = 1 / (1 + q + math.Sqrt(q*q+2*q)) // the same, without cancelling
		}
	}
	return r
}

// backscatter returns S from μ_s′ and μ_a: within 0.3 % of what makes a two-flux
// layer of K = 2μ_a as bright as an isotropic half-space of that albedo.
func backscatter(reduced, absorbed float64) float64 {
	if reduced == 0 {
		return 0
	}
	s := math.Sqrt(absorbed / (absorbed + reduced))
	return reduced * (0.75 + 0.107*s - 0.039*s*s)
}

// steps is the number of sizes a distribution is taken at: the trapezoidal
// rule over ±3.5 geometric standard deviations, whose step of a sixth keeps
// the ripples of single sizes out.
const steps = 41

// sizes returns diameters in µm and their shares of volume, summing to 1.
func sizes(median, gsd float64) (diameter, share []float64) {
	if gsd == 1 {
		return []float64{median}, []float64{1}
	}
	diameter, share = make([]float64, steps), make([]float64, steps)
	sum := 0.0
	for i := range diameter {
		u := 3.5 * (2*float64(i)/(steps-1) - 1)
		diameter[i] = median * math.Pow(gsd, u)
		share[i] = math.Exp(-u * u / 2)
		sum += share[i]
	}
	for i := range share {
		share[i] /= sum
	}
	return diameter, share
}
