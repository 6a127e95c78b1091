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
	o := observed{known: k, stat: s, weight: ellipsoid(k.Lab)}
	o.linear[0], o.linear[1], o.linear[2] = colour.LinearSRGB(k.Lab)
	// As ΔE00: the relative error of the light is a third of that in L* + 16,
	// and S_L is near 1.
	noise := s.relativeSE() * (k.Lab.L + 16) / 3
	o.sigma = math.Sqrt(floorSE*floorSE + k.SE*k.SE + noise*noise)
	return o
}

// ellipsoid returns W such that |W·ΔLab| is ΔE00 near a colour, but for the
// rotation term, which only blues have (notation of Sharma et al. 2005).
func ellipsoid(c colour.Lab) (w [3][3]float64) {
	c7 := math.Pow(c.Chroma(), 7)
	g := 0.5 * (1 - math.Sqrt(c7/(c7+6103515625))) // 25⁷
	a := (1 + g) * c.A
	chroma, h := math.Hypot(a, c.B), math.Atan2(c.B, a)
	const deg = math.Pi / 180
	t := 1 - 0.17*math.Cos(h-30*deg) + 0.24*math.Cos(2*h) + 0.32*math.Cos(3*h+6*deg) - 0.20*math.Cos(4*h-63*deg)
	l := c.L - 50
	sl := 1 + 0.015*l*l/math.Sqrt(20+l*l)
	sc := 1 + 0.045*chroma
	sh := 1 + 0.015*chroma*t
	sin, cos := math.Sincos(h)
	return [3][3]float64{
		{1 / sl, 0, 0},
		{0, (1 + g) * cos / sc, sin / sc},
		{0, -(1 + g) * sin / sh, cos / sh},
	}
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
