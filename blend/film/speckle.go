package film

import (
	"math"

	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
)

// Speckle tells how uneven single flakes make a film look, near the mirror
// direction of a lamp, over and over without allocating.
//
// Each powder lights the finest spot an eye tells apart with Poisson many glints
// of unequal brightness. With L its light per areal mass m, n glints on the spot
// per m and u the unevenness of their brightness, the light varies by
//
//	V = Σ L² m u/n
//
// and the contrast is √V over the mean.
type Speckle struct {
	View  *Reader // of the direction it is looked at from
	scene GlintScene
	lobe  float64 // radiance factor per unit of the flakes' beam
	spot  float64 // cm² of skin
}

// Speckle returns that of a film.
func (f *Film) Speckle() (*Speckle, error) {
	view, err := f.Angle(flake.Aspecular[0])
	if err != nil {
		return nil, err
	}
	s := &Speckle{View: view, scene: f.GlintScene()}
	s.lobe = f.Lobe(s.scene.in, s.scene.out)
	s.spot = math.Pi / 4 * SpotMM * SpotMM / 100 / -s.scene.out[2]
	return s, nil
}

// Coarseness returns u/n of a powder, mg/cm²: 0 of what has no flakes or none
// that can be counted.
func (s *Speckle) Coarseness(g *palette.Pigment) float64 {
	n := s.scene.PerMass(g) * s.spot
	if !(n > 0) {
		return 0
	}
	return SizeOf(g).unevenness(s.scene.blur) / n
}

// Variance returns V of a film of these areal masses of powders prepared for
// View, the brightness of white being 1, and where by is not nil adds its
// derivatives by the mass of each of all. Every list of powders has its
// coarsenesses beside it.
func (s *Speckle) Variance(powders []*Prepared, coarse, mass []float64, by []float64, all []*Prepared, allCoarse []float64) float64 {
	y := &colour.D65.Weights()[1]
	var shine, fading [colour.Bands]float64 // light per C0 R, and its derivative by e0 + eb
	var fall [colour.Bands]float64          // of V by e0 + eb
	facets := s.View.facets
	variance, share := 0.0, 0.0
	for f := range facets {
		share += facets[f].share
	}
	light := func(p *Prepared, of *[colour.Bands]float64, f int) float64 {
		sum := 0.0
		for b := range of {
			sum += of[b] * p.facet[f][b][viewMirror]
		}
		return sum
	}
	// Facets of a tilting surface are lit each for itself; with one, which is
	// all a search has, this is V above.
	for f := range facets {
		part := facets[f].share / share
		for b := range shine {
			rate := 0.0
			for i, p := range powders {
				k := &p.facet[f][b]
				rate += mass[i] * (k[fadeLight] + k[fadeBeam])
			}
			through, slope := mean(rate, math.Exp(-rate))
			shine[b], fading[b], fall[b] = s.lobe*y[b]/100*through, s.lobe*y[b]/100*slope, 0
		}
		for i, p := range powders {
			if coarse[i] == 0 || mass[i] == 0 {
				continue
			}
			l := light(p, &shine, f)
			variance += part * l * l * mass[i] * coarse[i]
			for b := range fall {
				fall[b] += 2 * part * l * mass[i] * coarse[i] * fading[b] * p.facet[f][b][viewMirror]
			}
		}
		for i := range by {
			if allCoarse[i] > 0 {
				l := light(all[i], &shine, f)
				by[i] += part * l * l * allCoarse[i]
			}
			for b := range fall {
				k := &all[i].facet[f][b]
				by[i] += fall[b] * (k[fadeLight] + k[fadeBeam])
			}
		}
	}
	return variance
}
