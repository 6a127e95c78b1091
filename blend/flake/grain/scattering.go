package grain

import (
	"fmt"
	"math"

	"tawny/blend/flake/constants"
	"tawny/blend/flake/mie"
	"tawny/colour"
)

// Scattering is what grains do to a ray, per unit areal mass.
type Scattering struct {
	MuA, MuS colour.Spectrum         // absorption and (whole) scattering, cm²/mg
	Moments  [][colour.Bands]float64 // Legendre moments of the phase function, from χ_0 = 1
}

// peaked is the size parameter beyond which a sphere's own phase function, one
// narrow peak and its rings, gives way to Henyey and Greenstein's of its g.
const peaked = 60

// Scattering returns absorption, scattering and phase function in every band.
func (g Grain) Scattering() (Scattering, error) {
	g, m, err := g.complete()
	if err != nil {
		return Scattering{}, err
	}
	diameter, share := sizes(g.DiameterUM, g.GSD)
	most := math.Pi * diameter[len(diameter)-1] * 1000 * g.Binder / colour.WavelengthNM(0)
	phase := mie.NewPhase(mie.Terms(min(most, peaked)))
	chi := make([]float64, 2*mie.Terms(min(most, peaked))+1)
	s := Scattering{Moments: make([][colour.Bands]float64, len(chi))}
	var w mie.Workspace
	for b := range colour.Bands {
		nm := colour.WavelengthNM(b)
		relative := m.Index(nm) / complex(g.Binder, 0)
		phase.Reset()
		fine := 0.0 // μ_s of the spheres whose own phase function is taken
		for i, d := range diameter {
			x := math.Pi * d * 1000 * g.Binder / nm
			e, err := w.Sphere(x, relative)
			if err != nil {
				return Scattering{}, fmt.Errorf("%s, %g µm at %g nm: %w", m.Name, d, nm, err)
			}
			// Shadow over mass of a sphere, 3/(2dρ): µm and g/cm³ to cm²/mg.
			perMass := share[i] * 15 / (d * g.Density)
			s.MuA[b] += perMass * e.Abs
			s.MuS[b] += perMass * e.Sca
			if x <= peaked {
				fine += perMass * e.Sca
				phase.Add(&w, perMass/(x*x))
				continue
			}
			power := perMass * e.Sca
			for l := range chi {
				s.Moments[l][b] += power
				power *= e.G
			}
		}
		phase.Moments(chi)
		for l, v := range chi {
			s.Moments[l][b] += fine * v
			if s.MuS[b] > 0 {
				s.Moments[l][b] /= s.MuS[b]
			}
		}
		s.Moments[0][b] = 1
	}
	return s, nil
}

// complete takes the defaults and checks every field.
func (g Grain) complete() (Grain, *constants.Material, error) {
	m, err := constants.Find(g.Material)
	if err != nil {
		return g, nil, err
	}
	if g.GSD == 0 {
		g.GSD = DefaultGSD
	}
	if g.Binder == 0 {
		g.Binder = DefaultBinder
	}
	if g.Density == 0 {
		g.Density = m.Density
	}
	// Written so that NaN fails each of them.
	switch {
	case !(g.DiameterUM >= 0.01 && g.DiameterUM <= 30):
		return g, nil, fmt.Errorf("%s: grain diameter %g µm; 0.01 to 30 µm is accepted", m.Name, g.DiameterUM)
	case !(g.GSD >= 1 && g.GSD <= 3):
		return g, nil, fmt.Errorf("%s: geometric standard deviation %g; 1 to 3 is accepted", m.Name, g.GSD)
	case !(g.Binder >= 1 && g.Binder <= 2):
		return g, nil, fmt.Errorf("%s: binder index %g; 1 to 2 is accepted", m.Name, g.Binder)
	case !(g.Density > 0 && g.Density <= 20):
		return g, nil, fmt.Errorf("%s: density %g g/cm³; above 0 and at most 20 is accepted", m.Name, g.Density)
	}
	return g, m, nil
}
