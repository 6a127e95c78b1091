package grain

import (
	"fmt"
	"math"
	"sync"

	"tawny/blend/flake/constants"
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
	K colour.Spectrum // absorption of diffuse light, 2 μ_a, cm²/mg
	S colour.Spectrum // scattering of diffuse light, ¾ μ_s(1 − g), cm²/mg
	// Moments are the Legendre moments of the phase function, χ_0 = 1, χ_1 = g, as
	// many as count and at most to the order Kept, its forward peak beyond that cut off.
	Moments [][colour.Bands]float64
}

// Kept is the order to which a phase function is kept. What lies beyond is a peak
// ahead that a film cannot tell from light going on. Cut short of what a grain of a
// few µm has, the rest would swing below nothing behind.
const Kept = 128

// Faint is a moment that counts for nothing: all past it together move the phase
// function of the built-in pigments by less than its least, 0.001.
const Faint = 1e-6

// HenyeyGreenstein returns the moments g^l, as [Optics] has them, of the phase
// function of that name (Astrophys. J. 93 (1941) 70), the usual stand-in where only
// the mean cosine g is known.
func HenyeyGreenstein(g float64) [][colour.Bands]float64 {
	m := make([][colour.Bands]float64, Kept+1)
	beyond := math.Pow(g, Kept+1)
	for l := range m {
		m[l] = colour.Constant((math.Pow(g, float64(l)) - beyond) / (1 - beyond))
	}
	return counting(m)
}

// LeastScattered returns where the phase function p = Σ (2l+1) χ_l P_l of moments χ, up
// to the order Kept, is least, degrees of the angle turned by, and what it is there: 1
// on average over all directions.
func LeastScattered(chi []float64) (deg, least float64) {
	least = math.Inf(1)
	for i, weight := range everyAngle() {
		p := 0.0
		for l, x := range chi {
			p += x * weight[l]
		}
		if p < least {
			deg, least = float64(i)*angleStep, p
		}
	}
	return deg, least
}

// angleStep is how far apart angles are at which a phase function is looked at, degrees.
const angleStep = 2

// everyAngle is (2l+1) P_l at each of them.
var everyAngle = sync.OnceValue(func() (list [][Kept + 1]float64) {
	for deg := 0.0; deg <= 180; deg += angleStep {
		var p [Kept + 1]float64
		mie.Legendre(math.Cos(deg*math.Pi/180), p[:])
		for l := range p {
			p[l] *= float64(2*l + 1)
		}
		list = append(list, p)
	}
	return list
})

// counting leaves out the last moments, faint in every band.
func counting(m [][colour.Bands]float64) [][colour.Bands]float64 {
	for len(m) > 1 {
		for _, v := range m[len(m)-1] {
			if math.Abs(v) >= Faint {
				return m
			}
		}
		m = m[:len(m)-1]
	}
	return m
}

// peaked is the size parameter beyond which a sphere's own phase function, one
// narrow peak and its rings, gives way to Henyey and Greenstein's of its g.
const peaked = 60

// Optics returns absorption, scattering and phase function in every band.
func (g Grain) Optics() (Optics, error) {
	m, err := constants.Find(g.Material)
	if err != nil {
		return Optics{}, err
	}
	return g.Of(m)
}

// Strength returns K and S alone, in half the time.
func (g Grain) Strength() (Optics, error) {
	m, err := constants.Find(g.Material)
	if err != nil {
		return Optics{}, err
	}
	return g.of(m, false)
}

// Of returns the optics of such grains of a material.
func (g Grain) Of(m *constants.Material) (Optics, error) { return g.of(m, true) }

func (g Grain) of(m *constants.Material, moments bool) (o Optics, err error) {
	if g, err = g.complete(m); err != nil {
		return o, err
	}
	diameter, share := g.sizes(m)
	var phase *mie.Phase
	if moments {
		most := math.Pi * diameter[len(diameter)-1] * 1000 * g.Binder / colour.WavelengthNM(0)
		phase = mie.NewPhase(mie.Terms(min(most, peaked)), Kept+1)
		o.Moments = make([][colour.Bands]float64, Kept+1)
	}
	var w mie.Workspace
	for b := range colour.Bands {
		nm := colour.WavelengthNM(b)
		relative := m.Index(nm) / complex(g.Binder, 0)
		scattered, fine := 0.0, 0.0 // μ_s, and of it the spheres whose own phase function is taken
		var chi, sum [Kept + 2]float64
		for i, d := range diameter {
			x := math.Pi * d * 1000 * g.Binder / nm
			e, err := w.Sphere(x, relative)
			if err != nil {
				return Optics{}, fmt.Errorf("%s, %g µm at %g nm: %w", m.Name, d, nm, err)
			}
			// Shadow over mass of a sphere, 3/(2dρ): µm and g/cm³ to cm²/mg.
			perMass := share[i] * 15 / (d * g.Density)
			power := perMass * e.Sca
			o.K[b] += 2 * perMass * e.Abs
			o.S[b] += 0.75 * power * (1 - e.G)
			if !moments {
				continue
			}
			scattered += power
			if x <= peaked {
				fine += power
				phase.Add(&w, perMass/(x*x))
				continue
			}
			for l := range sum {
				sum[l] += power
				power *= e.G
			}
		}
		if !moments {
			continue
		}
		phase.Moments(chi[:])
		phase.Reset()
		for l, v := range chi {
			sum[l] += fine * v
		}
		beyond := sum[Kept+1]
		for l := range o.Moments {
			if scattered > beyond {
				o.Moments[l][b] = (sum[l] - beyond) / (scattered - beyond)
			}
		}
		o.Moments[0][b] = 1
	}
	o.Moments = counting(o.Moments)
	return o, nil
}

// A distribution is taken at so many sizes: the trapezoidal rule over ±3.5
// geometric standard deviations. A sphere's ripples run with its phase
// ρ = 2x|m − 1|; where at the median it passes rippled in some band, steps are a
// fourteenth of a deviation, elsewhere a seventh. The ripples of single sizes that are
// left are 2 % of K and S in the built-in pigments, 4.1 % in a jar's water (titania near
// 400 nm, chromia), up to 7 % in other titania: four times as many sizes would bring
// these to 1 %, and take the README's first command 70 ms more of processor time.
const (
	smoothSizes  = 51
	rippledSizes = 101
	rippled      = 8.0
)

// sizes returns diameters in µm and their shares of volume, summing to 1.
func (g Grain) sizes(m *constants.Material) (diameter, share []float64) {
	if g.GSD == 1 {
		return []float64{g.DiameterUM}, []float64{1}
	}
	steps := smoothSizes
	for b := range colour.Bands {
		nm := colour.WavelengthNM(b)
		if off := m.Index(nm)/complex(g.Binder, 0) - 1; 2*math.Pi*g.DiameterUM*1000*g.Binder/nm*math.Sqrt(mie.Norm(off)) > rippled {
			steps = rippledSizes
		}
	}
	diameter, share = make([]float64, steps), make([]float64, steps)
	sum := 0.0
	for i := range diameter {
		u := 3.5 * (2*float64(i)/float64(steps-1) - 1)
		diameter[i] = g.DiameterUM * math.Pow(g.GSD, u)
		share[i] = math.Exp(-u * u / 2)
		sum += share[i]
	}
	for i := range share {
		share[i] /= sum
	}
	return diameter, share
}

// complete takes the defaults and checks every field.
func (g Grain) complete(m *constants.Material) (Grain, error) {
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
		return g, fmt.Errorf("%s: grain diameter %g µm; 0.01 to 30 µm is accepted", m.Name, g.DiameterUM)
	case !(g.GSD >= 1 && g.GSD <= 3):
		return g, fmt.Errorf("%s: geometric standard deviation %g; 1 to 3 is accepted", m.Name, g.GSD)
	case !(g.Binder >= 1 && g.Binder <= 2):
		return g, fmt.Errorf("%s: binder index %g; 1 to 2 is accepted", m.Name, g.Binder)
	case !(g.Density > 0 && g.Density <= 20):
		return g, fmt.Errorf("%s: density %g g/cm³; above 0 and at most 20 is accepted", m.Name, g.Density)
	}
	return g, nil
}
