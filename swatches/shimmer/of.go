package shimmer

import (
	"fmt"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
)

// Of returns the film that a blend makes on a skin, from the same model that
// predicts its colour. Powders without sizes or face area cannot glint and
// are an error.
func Of(w film.Worn) (*Film, error) {
	layer, tilt, index, err := w.Film()
	if err != nil {
		return nil, err
	}
	key, err := film.NewSurface(index, film.At45, 0, film.Tilt{SigmaDeg: tilt})
	if err != nil {
		return nil, err
	}
	fill, err := film.NewSurface(index, film.FromRound, 0, film.Tilt{SigmaDeg: tilt})
	if err != nil {
		return nil, err
	}
	f := &Film{TiltDeg: tilt, Index: index, Fill: fill.Reading(&layer)}
	var share colour.Spectrum // of each unit of Sf, what leaves as a beam
	key.Tau = 0               // the beam itself is drawn flake by flake
	for j := range share {
		share[j], _, _ = film.Beam(1, layer.K[j], layer.S[j])
		ri, _, _ := film.Reflect(layer.K[j], layer.S[j], layer.Rg[j])
		f.Even[j] = key.Above(ri, layer.Sf[j]*share[j])
	}
	for _, p := range w.Parts {
		m := w.Apply * p.Percent / 100
		if !p.Pigment.Optics.Flake || m == 0 {
			continue
		}
		kinds, err := kindsOf(p.Pigment, m, index, &share)
		if err != nil {
			return nil, fmt.Errorf("powder %q: %w", p.Pigment.Name, err)
		}
		f.Flakes = append(f.Flakes, kinds...)
	}
	return f, nil
}

// Three thicknesses stand for a normal distribution: the Gauss–Hermite points
// at 0 and ±√3 standard deviations, with their weights.
var (
	hermiteAt     = [3]float64{-1.7320508075688772, 0, 1.7320508075688772}
	hermiteWeight = [3]float64{1.0 / 6, 2.0 / 3, 1.0 / 6}
)

// kindsOf splits a powder of areal mass m, mg/cm², into nine thickness
// classes, three of mica by three of coat, so that single glints differ in
// colour as flakes of one powder do. In each band the classes add up to the
// powder's own beam.
func kindsOf(p *palette.Pigment, m, index float64, share *colour.Spectrum) ([]Flakes, error) {
	if p.Optics.FaceArea <= 0 {
		return nil, fmt.Errorf("its face area per mass is not known")
	}
	size := film.SizeOf(p)
	n := size.PerCM2(m * p.Optics.FaceArea)
	// The directions that the powder's optics are known in, by rising local
	// angle: 75°, 45° and 15° from the mirror; 110° is 75° over again.
	order := [3]int{2, 1, 0}
	views, err := film.Views(index, film.Tilt{})
	if err != nil {
		return nil, err
	}
	whole := Flakes{Name: p.Name, PerCM2: n, Size: size}
	for _, i := range order {
		whole.Beam = append(whole.Beam, beamOf(views[i].LocalDeg, m, &p.Optics.SAt[i], share))
	}
	if p.Spectrum != "" || p.Substrate == 0 {
		return []Flakes{whole}, nil
	}
	mean := p.Flake(index)
	var kinds []Flakes
	for i, a := range hermiteAt {
		for j, b := range hermiteAt {
			one := mean
			one.SubstrateNM += a * mean.SubstrateSpreadNM
			one.SubstrateSpreadNM, one.CoatSpread = 0, 0
			one.Coats = append([]flake.Layer(nil), mean.Coats...)
			for c := range one.Coats {
				one.Coats[c].ThicknessNM *= 1 + b*mean.CoatSpread
			}
			weight := hermiteWeight[i] * hermiteWeight[j]
			kind := Flakes{Name: p.Name, PerCM2: n * weight, Size: size}
			for _, d := range order {
				r, _, _, err := one.At(views[d].LocalDeg)
				if err != nil {
					return nil, err
				}
				// By the powder's own face area, since every class covers skin alike.
				kind.Beam = append(kind.Beam, beamOf(views[d].LocalDeg, m*weight*p.Optics.FaceArea, &r, share))
			}
			kinds = append(kinds, kind)
		}
	}
	// Nine points are not the powder's full average, so what is left over in
	// each band is shared out in proportion.
	for k := range order {
		for x := range whole.Beam[k].P {
			sum := 0.0
			for i := range kinds {
				sum += kinds[i].Beam[k].P[x]
			}
			for i := range kinds {
				if sum > 0 {
					kinds[i].Beam[k].P[x] *= whole.Beam[k].P[x] / sum
				}
			}
		}
	}
	return kinds, nil
}

func beamOf(local, m float64, s, share *colour.Spectrum) Beam {
	b := Beam{LocalDeg: local}
	for j := range s {
		b.P[j] = m * s[j] * share[j]
	}
	return b
}
