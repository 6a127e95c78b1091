package shimmer

import "math"

// Mean returns the average linear sRGB of the picture.
func (p *Picture) Mean() (r, g, b float64) {
	for i := 0; i < len(p.Pix); i += 3 {
		r += float64(p.Pix[i])
		g += float64(p.Pix[i+1])
		b += float64(p.Pix[i+2])
	}
	n := math.Max(1, float64(len(p.Pix)/3))
	return r / n, g / n, b / n
}
