package skin

import (
	"fmt"
	"slices"

	"tawny/colour"
)

// leastRise is the least a measured spectrum may rise from 600 to 700 nm, as a
// share of what the model has for its colour. Of 321 sound readings 95 in 100
// rise by 0.92 to 1.06 of it; those of the archive that its transcriber marked
// as badly taken begin at 0.73.
const leastRise = 0.90

// flatInRed remarks on a measured reflectance (with gloss, of the D65 colour c)
// that rises too little towards red for skin: light lost past the edge of the
// aperture, which a small one does, or not skin. "" where it rises as skin
// does.
func flatInRed(r *colour.Spectrum, c colour.Lab) string {
	const nm600, nm700 = 22, 32
	usual, err := standard().Reflectance(c, colour.D65)
	if err != nil {
		return ""
	}
	rise := r[nm700] / r[nm600] / (usual[nm700] / usual[nm600])
	if rise >= leastRise {
		return ""
	}
	return fmt.Sprintf("doubtful: flat in the red, rising from 600 to 700 nm by %.2f of what skin of this colour does; used as it is, but worth reading again", rise)
}

// HalfAsBright returns the places in a list of repeats of one skin (or of its
// neighbours) whose luminous reflectance Y is hardly over half the median of the
// others: a probe that did not touch, or read something else. They are to be
// used and remarked on. Fewer than three say nothing.
func HalfAsBright(list []colour.Reading) (places []int) {
	const half = 0.6
	if len(list) < 3 {
		return nil
	}
	y := make([]float64, len(list))
	for i, r := range list {
		// Y of L* is the same under every light.
		y[i] = colour.D65.XYZOf(colour.Lab{L: r.Lab.L}).Y
	}
	for i := range y {
		others := append(slices.Clone(y[:i]), y[i+1:]...)
		slices.Sort(others)
		n := len(others)
		if median := (others[(n-1)/2] + others[n/2]) / 2; y[i] < half*median {
			places = append(places, i)
		}
	}
	return places
}
