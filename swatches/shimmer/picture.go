package shimmer

import "math"

// Picture is a rendering in linear light.
type Picture struct {
	Width, Height int     // pixels
	MMPerPixel    float64 // physical scale
	// Pix holds linear sRGB, three values to a pixel, row by row from the top.
	// The perfect diffuser is 1; lit flakes go far beyond, and colours outside
	// sRGB have negative parts. Nothing is clipped.
	Pix []float32
	// Expected is the number of glints that theory puts in the picture, Drawn
	// how many fell inside it under this seed.
	Expected, Drawn float64
}

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
