package shimmer

import (
	"math"

	"tawny/blend/film"
)

// A point of light is spread over the pixels round it, the weights adding up
// to one wherever it lies between them, so that its energy is kept and a
// moving point does not flicker. A faint one takes the quadratic B-spline over
// 3 × 3 pixels; a bright one, whose foot would show as a square once it is
// rolled off, a Gaussian of 0.65 pixels over 5 × 5. Where pixels are finer than the
// spots an eye tells apart a faint one takes a Gaussian that is as wide at half its
// height as such a spot, as far as it goes on 5 × 5.
const (
	reach       = 2 // pixels to each side
	subpixels   = 64
	brightSplat = 3 // light, in pixels of perfect diffuser, from which the Gaussian is used
	gaussSigma  = 0.65
	mostSigma   = 0.9
)

type kernel [subpixels][2*reach + 1]float32

var (
	splineWeights = weights(func(x float64) float64 {
		switch x = math.Abs(x); {
		case x < 0.5:
			return 0.75 - x*x
		case x < 1.5:
			return (1.5 - x) * (1.5 - x) / 2
		}
		return 0
	})
	gaussWeights = gaussian(gaussSigma)
)

func gaussian(sigma float64) kernel {
	return weights(func(x float64) float64 { return math.Exp(-x * x / (2 * sigma * sigma)) })
}

// faintAt is the kernel of faint glints at a scale, and how many pixels it reaches.
func faintAt(mmPerPixel float64) (*kernel, int) {
	sigma := min(mostSigma, film.SpotMM/math.Sqrt(8*math.Ln2)/mmPerPixel)
	if sigma <= gaussSigma {
		return &splineWeights, 1
	}
	fine := gaussian(sigma)
	return &fine, reach
}

// weights tabulates a kernel for points at each sub-pixel, normalised.
func weights(shape func(float64) float64) (t kernel) {
	for i := range t {
		at := (float64(i) + 0.5) / subpixels // across the middle pixel
		sum := 0.0
		for k := range t[i] {
			sum += shape(float64(k-reach) + 0.5 - at)
		}
		for k := range t[i] {
			t[i][k] = float32(shape(float64(k-reach)+0.5-at) / sum)
		}
	}
	return t
}

// splat adds a point of light at x, in row y and dy of it down, to those of
// rows y0 to y1 that it touches.
func (r *renderer) splat(x float64, y int, dy float64, y0, y1 int, red, green, blue float32) {
	column := math.Floor(x)
	ix, iy := int((x-column)*subpixels), int(dy*subpixels)
	table, foot := r.faint, r.foot
	if red > brightSplat || green > brightSplat || blue > brightSplat {
		table, foot = &gaussWeights, reach
	}
	wx, wy := &table[ix], &table[iy]
	left := int(column)
	for j := -foot; j <= foot; j++ {
		line := y + j
		if line < y0 || line >= y1 {
			continue
		}
		b := wy[j+reach]
		px := r.p.Pix[3*line*r.o.Width : 3*(line+1)*r.o.Width]
		for i := -foot; i <= foot; i++ {
			if at := left + i; at >= 0 && at < r.o.Width {
				w := wx[i+reach] * b
				q := px[3*at : 3*at+3 : 3*at+3]
				q[0] += w * red
				q[1] += w * green
				q[2] += w * blue
			}
		}
	}
}

func turn(x float64) float64 { return x - math.Floor(x) }
