package shimmer

import (
	"fmt"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
)

// Of returns the film that a blend makes on a skin, from the same model that
// predicts its colour. Powders without sizes or face area cannot glint and
// are an error.
func Of(w film.Worn) (*Film, error) {
	lit, err := w.Lit()
	if err != nil {
		return nil, err
	}
	f := &Film{TiltDeg: lit.TiltDeg, Index: lit.Index, Even: lit.Even, Fill: lit.Fill}
	for i, p := range w.Parts {
		m := w.Apply * p.Percent / 100
		if !p.Pigment.Optics.Flake || m == 0 {
			continue
		}
		kinds, err := kindsOf(p.Pigment, m, lit, i)
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
func kindsOf(p *palette.Pigment, m float64, lit *film.Lit, part int) ([]Flakes, error) {
	if p.Optics.FaceArea <= 0 {
		return nil, fmt.Errorf("its face area per mass is not known")
	}
	size := film.SizeOf(p)
	n := size.PerCM2(m * p.Optics.FaceArea)
	whole := Flakes{Name: p.Name, PerCM2: n, Size: size}
	for i, deg := range lit.LocalDeg {
		whole.Beam = append(whole.Beam, Beam{deg, lit.Beams[part][i]})
	}
	if p.Spectrum != "" || p.Substrate == 0 {
		return []Flakes{whole}, nil
	}
	mean := p.Flake(lit.Index)
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
			for _, deg := range lit.LocalDeg {
				r, _, _, err := one.At(deg)
				if err != nil {
					return nil, err
				}
				for x := range r {
					r[x] *= weight
				}
				kind.Beam = append(kind.Beam, Beam{deg, r})
			}
			kinds = append(kinds, kind)
		}
	}
	// Every class covers skin alike, so the powder's own beam is shared out by
	// what each of them returns.
	for k := range lit.LocalDeg {
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
