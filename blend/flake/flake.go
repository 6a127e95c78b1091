package flake

import (
	"fmt"
	"math"
	"math/cmplx"

	"tawny/blend/flake/constants"
	"tawny/colour"
)

// What a flake is when nothing else is said.
const (
	DefaultSubstrateNM       = 400.0 // nm, a usual mica fraction (common practice, 200 to 600)
	DefaultSubstrateSpreadNM = 100.0 // nm, standard deviation (from memory of such fractions)
	DefaultCoatSpread        = 0.05  // relative standard deviation of a coat from flake to flake (from memory)
	DefaultBinder            = 1.47  // index of dried lotion or oil (caprylic triglyceride 1.45, castor oil 1.48)
)

// Limits of the model. Thicker stacks have fringes finer than a 10 nm band;
// a binder denser than mica would make the mica the thinner medium.
const (
	MaxCoatNM      = 2000.0 // nm, sum of the coats on one face
	MaxSubstrateNM = 5000.0 // nm
	MaxBinder      = 1.57   // just under muscovite
	MaxLayers      = 8      // coats on one face
)

// Flake is a mica platelet with the same coats on both faces, in a binder.
// The zero Flake is one plain 400 nm mica platelet without spread; [New] gives
// the spreads of a real powder.
type Flake struct {
	Coats             []Layer // inner first, on each face; none is plain mica
	SubstrateNM       float64 // nm, mean thickness of the mica; 0 means 400
	SubstrateSpreadNM float64 // nm, standard deviation of it, at most half of it
	CoatSpread        float64 // relative standard deviation of the coats, 0 to 0.3
	Binder            float64 // refractive index around the flake, 1 to 1.57; 0 means 1.47
	// CoatPacking is the share of the coats' volume that is solid, the rest
	// being pores filled with binder (Bruggeman's mixture). More than 0.3, at
	// most 1, which is bulk; 0 means each material's usual packing: 0.92 for
	// rutile, 1 for the others.
	CoatPacking float64
	// IndexOff and AbsorbOff change the coats' n and k, relative: how far their
	// constants are off, where that is asked.
	IndexOff, AbsorbOff float64
}

// New returns a flake with these coats, inner first, and the default
// substrate, spreads, binder and packing.
func New(coats ...Layer) Flake {
	return Flake{
		Coats:             coats,
		SubstrateNM:       DefaultSubstrateNM,
		SubstrateSpreadNM: DefaultSubstrateSpreadNM,
		CoatSpread:        DefaultCoatSpread,
		Binder:            DefaultBinder,
	}
}

// film is one coat ready for calculation.
type film struct {
	epsilon   [colour.Bands]complex128 // effective, pores filled
	thickness float64                  // nm, mean
}

// prepared is a Flake with its defaults taken, checked and looked up.
type prepared struct {
	films     []film // inner first
	substrate float64
	spread    float64
	binder    float64
	// faceArea is that of one face per mass, cm²/mg: 5 to 7 for usual coated mica.
	// Pores weigh nothing, since they hold binder.
	faceArea float64
	scales   [colour.Bands]rule // coat thickness factors and their weights
}

func (f Flake) prepare() (*prepared, error) {
	p := &prepared{substrate: f.SubstrateNM, spread: f.SubstrateSpreadNM, binder: f.Binder}
	if p.substrate == 0 {
		p.substrate = DefaultSubstrateNM
	}
	if p.binder == 0 {
		p.binder = DefaultBinder
	}
	// Written so that NaN fails each of them.
	switch {
	case !(p.substrate >= 20 && p.substrate <= MaxSubstrateNM):
		return nil, fmt.Errorf("flake substrate %g nm: 20 to %g nm is accepted", p.substrate, MaxSubstrateNM)
	case !(p.spread >= 0 && p.spread <= p.substrate/2):
		return nil, fmt.Errorf("flake substrate spread %g nm: 0 to %g nm, half the thickness, is accepted", p.spread, p.substrate/2)
	case !(f.CoatSpread >= 0 && f.CoatSpread <= 0.3):
		return nil, fmt.Errorf("coat spread %g: 0 to 0.3 of the thickness is accepted", f.CoatSpread)
	case !(p.binder >= 1 && p.binder <= MaxBinder):
		return nil, fmt.Errorf("binder index %g: 1 to %g is accepted", p.binder, MaxBinder)
	case f.CoatPacking != 0 && !(f.CoatPacking > 0.3 && f.CoatPacking <= 1):
		return nil, fmt.Errorf("coat packing %g: above 0.3 and at most 1 is accepted, or 0 for the usual", f.CoatPacking)
	case !(math.Abs(f.IndexOff) < 0.5 && f.AbsorbOff >= -1 && f.AbsorbOff < 10):
		return nil, fmt.Errorf("constants off by %g and %g; n by less than a half, k from -1 to 10 is accepted", f.IndexOff, f.AbsorbOff)
	case len(f.Coats) > MaxLayers:
		return nil, fmt.Errorf("%d coats: at most %d are accepted", len(f.Coats), MaxLayers)
	}
	p.films = make([]film, len(f.Coats))
	mass := p.substrate * constants.MuscoviteDensity // nm·g/cm³
	thickness := 0.0
	var fringe [colour.Bands]float64
	for i, c := range f.Coats {
		m, err := constants.Find(c.Material)
		if err != nil {
			return nil, fmt.Errorf("coat %d: %w", i+1, err)
		}
		if !m.Coat {
			return nil, fmt.Errorf("coat %d: %s is not a material for coats", i+1, m.Name)
		}
		if !(c.ThicknessNM >= 0 && c.ThicknessNM <= MaxCoatNM) {
			return nil, fmt.Errorf("coat %d, %s: thickness %g nm; 0 to %g nm is accepted", i+1, m.Name, c.ThicknessNM, MaxCoatNM)
		}
		packing := f.CoatPacking
		if packing == 0 {
			packing = m.Packing
		}
		thickness += c.ThicknessNM
		mass += 2 * c.ThicknessNM * m.Density * packing
		p.films[i].thickness = c.ThicknessNM
		bulk := m.OnGrid()
		for b, eps := range bulk {
			if f.IndexOff != 0 || f.AbsorbOff != 0 {
				index := cmplx.Sqrt(eps)
				index = complex(real(index)*(1+f.IndexOff), imag(index)*(1+f.AbsorbOff))
				eps = index * index
			}
			p.films[i].epsilon[b] = bruggeman(eps, complex(p.binder*p.binder, 0), packing)
		}
		addFringe(&fringe, &p.films[i])
	}
	if thickness > MaxCoatNM {
		return nil, fmt.Errorf("coats add up to %g nm; at most %g nm a face is accepted", thickness, MaxCoatNM)
	}
	p.faceArea = 1e4 / mass // 1e-3/(nm·1e-7 cm·g/cm³), cm²/mg
	made := math.NaN()
	for b, phase := range fringe {
		if !(phase <= made && phase > 0.9*made) {
			p.scales[b], made = lognormal(f.CoatSpread, phase), phase
			continue
		}
		p.scales[b] = p.scales[b-1] // as fine as this band needs, or a little finer
	}
	return p, nil
}

// addFringe adds the fringe phase 2δ of both faces' film in each band, at normal
// incidence, radians.
func addFringe(phase *[colour.Bands]float64, f *film) {
	for b, eps := range f.epsilon {
		n := math.Sqrt((real(eps) + math.Hypot(real(eps), imag(eps))) / 2)
		phase[b] += 4 * math.Pi * n * f.thickness / colour.WavelengthNM(b)
	}
}
