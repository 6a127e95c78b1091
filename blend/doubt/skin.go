package doubt

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"tawny/colour"
	"tawny/colour/skin"
)

// OfSkin returns the change of a skin's reflectance that goes with each change
// of its reading, one sigma: half the difference between up and down.
func OfSkin(k *skin.Skin, changes []colour.Lab) ([]colour.Spectrum, error) {
	viewing := k.Reading.Viewing
	if viewing == nil {
		viewing = colour.D65
	}
	at := viewing.Lab(&k.Reflectance)
	var list []colour.Spectrum
	for _, m := range changes {
		if m == (colour.Lab{}) {
			continue
		}
		var pair [2]skin.Skin
		for i, by := range [2]float64{1, -1} {
			moved := k.Reading
			moved.Spectrum, moved.Viewing = nil, viewing
			moved.Lab = colour.Lab{L: at.L + by*m.L, A: at.A + by*m.A, B: at.B + by*m.B}
			var err error
			if pair[i], err = skin.FromReading(moved); err != nil {
				return nil, err
			}
		}
		var change colour.Spectrum
		for j := range change {
			change[j] = (pair[0].Reflectance[j] - pair[1].Reflectance[j]) / 2
		}
		list = append(list, change)
	}
	return list, nil
}

// Alike returns three changes of a colour, independent, that together make an
// error alike in every direction of ΔE00 with this mean.
func Alike(at colour.Lab, de float64) []colour.Lab {
	// Near at, ΔE00² = dᵀMd; the columns of L⁻ᵀ with M = LLᵀ are unit errors.
	_, _, h := colour.DeltaE00Gradient(at, at)
	m := mat.NewSymDense(3, nil)
	for i := range 3 {
		for j := i; j < 3; j++ {
			m.SetSym(i, j, h[i][j]/2)
		}
	}
	// The mean length of a three-way normal error is √(8/π) of one direction's.
	s := de / math.Sqrt(8/math.Pi)
	var c mat.Cholesky
	if !c.Factorize(m) {
		// On the grey axis hue has no direction; ΔE*ab does.
		return []colour.Lab{{L: s}, {A: s}, {B: s}}
	}
	var upper, inverse mat.TriDense
	c.UTo(&upper)
	if err := inverse.InverseTri(&upper); err != nil {
		return []colour.Lab{{L: s}, {A: s}, {B: s}}
	}
	var list []colour.Lab
	for j := range 3 {
		list = append(list, colour.Lab{L: s * inverse.At(0, j), A: s * inverse.At(1, j), B: s * inverse.At(2, j)})
	}
	return list
}
