package reading

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"tawny/colour"
)

// observed is a known patch and what the photo shows of it.
type observed struct {
	known  Known
	stat   patchStat
	linear [3]float64 // known colour in linear sRGB
	weight [3][3]float64
	sigma  float64 // ΔE00
}

// floorSE is the error, in ΔE00, that a well-read patch in a photo keeps: its
// gloss, its own unevenness, the reading it is known by (common practice: two
// instruments differ by 0.3 to 0.5).
const floorSE = 0.5

func observe(k Known, s patchStat) observed {
	o := observed{known: k, stat: s, weight: colour.Ellipsoid00(k.Lab)}
	o.linear[0], o.linear[1], o.linear[2] = colour.LinearSRGB(k.Lab)
	// As ΔE00: the relative error of the light is a third of that in L* + 16,
	// and S_L is near 1.
	noise := s.relativeSE() * (k.Lab.L + 16) / 3
	o.sigma = math.Sqrt(floorSE*floorSE + k.SE*k.SE + noise*noise)
	return o
}

// worstCondition is the largest condition number of the known patches' linear
// colours, each scaled to one light, at which four or more settle a 3 × 3.
// Greys alone have an infinite one and a set of skin tones about 30; patches
// of six plain hues have 2 to 6. At 20 an error of 1 % in a patch is already
// 20 % in the least settled direction, more than the mixing it is to remove.
const worstCondition = 20

// condition returns the ratio of the largest to the smallest singular value.
func condition(patches []observed) float64 {
	m := mat.NewDense(max(len(patches), 3), 3, nil)
	for i, p := range patches {
		c := p.linear
		n := math.Sqrt(c[0]*c[0] + c[1]*c[1] + c[2]*c[2])
		m.SetRow(i, []float64{c[0] / n, c[1] / n, c[2] / n})
	}
	var svd mat.SVD
	if !svd.Factorize(m, mat.SVDNone) {
		return math.Inf(1)
	}
	s := svd.Values(nil)
	if s[2] <= 0 {
		return math.Inf(1)
	}
	return s[0] / s[2]
}
