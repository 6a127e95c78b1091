package shimmer

import (
	"math"
	"sync/atomic"

	"tawny/blend/film"
)

// A glint is far brighter than a screen can be, so its light is spread before it
// is toned, as an eye or a lens spreads a point's: by 1/(1 + (r/α)²)², the profile
// of stars on photographs (Moffat, Astronomy and Astrophysics 3, 455, 1969) with
// a tail as slow as glare's in an eye. It is half as high at half the finest spot
// an eye tells apart from half a metre, and never narrower than a moving point needs not to flicker.
const (
	spotMM     = film.SpotMM * 50 / 40 // that film counts on is seen from 40 cm
	leastAlpha = 0.65                  // pixels
	subpixels  = 8                     // places that a point has in its pixel, each way
	leastReach = 2.4                   // times α to each side that the faintest reaches
	mostReach  = 3                     // times α to each side that the brightest reaches: however hot, it stays a point
	mostPoint  = 0.22                  // of a perfect diffuser
	rimLight   = 0.02                  // of a perfect diffuser, where the tail is cut
	// mostPerSpot is the number of glints in what a glint is spread over past which
	// fewer are drawn: they share so much of the light, and the rest is added evenly,
	// that mean and spread stay those of them all. Each powder has an equal part of
	// it, so a coarse one's few stay whole beside a fine one's many.
	mostPerSpot = 12
)

// spread is how glints are spread at a scale: a kernel for each reach in pixels
// from least to most, at each place in a pixel, row by row; each adds up to 1.
type spread struct {
	mmPerPixel  float64
	alpha       float64 // pixels
	least, most int
	kernels     [][][]float32
	coreFoot    int // and one of half the breadth for what a screen cannot show but as white
	cores       [][]float32
}

// spreadAt returns the spread at a scale, kept for the next picture of it.
func spreadAt(mmPerPixel float64) *spread {
	if s := lastSpread.Load(); s != nil && s.mmPerPixel == mmPerPixel {
		return s
	}
	alpha := max(leastAlpha, spotMM/2/math.Sqrt(math.Sqrt2-1)/mmPerPixel)
	s := &spread{mmPerPixel: mmPerPixel, alpha: alpha, least: int(math.Round(leastReach * alpha))}
	s.most = max(s.least+1, int(math.Ceil(mostReach*alpha)))
	s.kernels, s.coreFoot = make([][][]float32, s.most+1), int(math.Ceil(alpha))
	places := func(alpha float64, foot int) (all [][]float32) {
		for i := range subpixels * subpixels {
			x, y := (float64(i%subpixels)+0.5)/subpixels, (float64(i/subpixels)+0.5)/subpixels
			all = append(all, moffat(x, y, alpha, foot))
		}
		return all
	}
	for foot := s.least; foot <= s.most; foot++ {
		s.kernels[foot] = places(alpha, foot)
	}
	s.cores = places(alpha/2, s.coreFoot)
	lastSpread.Store(s)
	return s
}

var lastSpread atomic.Pointer[spread]

// moffat is the kernel of a point at x, y in its pixel. It runs out over its reach, so
// that it is round and has no edge.
func moffat(x, y, alpha float64, foot int) []float32 {
	var w []float32
	sum, reach := float32(0), float64(foot)+0.5
	for j := -foot; j <= foot; j++ {
		for i := -foot; i <= foot; i++ {
			dx, dy := float64(i)+0.5-x, float64(j)+0.5-y
			v := 1 + (dx*dx+dy*dy)/(alpha*alpha)
			out := max(0, 1-math.Pow((dx*dx+dy*dy)/(reach*reach), 6))
			w = append(w, float32(out*out/(v*v)))
			sum += w[len(w)-1]
		}
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// perPixel is the most glints that are drawn in a pixel: a spot is as large as
// an even patch of the same noise, 3πα².
func (s *spread) perPixel() float64 { return mostPerSpot / (3 * math.Pi * s.alpha * s.alpha) }

// shown is the part of a glint's light that is drawn: one whose middle is brighter
// than mostPoint goes on by the cube root, as an eye's answer does (CIE L*), so that a
// lamp's glints are not all alike. A screen would else show its spread as a disc, flat
// to where it falls to white.
func (s *spread) shown(light float64) float64 {
	middle := light / (math.Pi * s.alpha * s.alpha)
	if middle <= mostPoint {
		return 1
	}
	kept := math.Cbrt(mostPoint / middle)
	return kept * kept
}

// core is the white light in the middle of a glint beyond the perfect diffuser: eye and
// camera see what is far too bright as white, and its colour round that (drawn by eye).
func (s *spread) core(light float64) float32 {
	middle := light / (math.Pi * s.alpha * s.alpha)
	if middle <= 1 {
		return 0
	}
	return float32((1 - 1/math.Sqrt(middle)) * math.Pi * s.alpha * s.alpha / 4)
}

// foot is how many pixels to each side a glint reaches before it is fainter than
// the rim: e α²/(π r⁴) far out.
func (s *spread) foot(light float32) int {
	r := math.Sqrt(math.Sqrt(float64(light) * s.alpha * s.alpha / (math.Pi * rimLight)))
	return max(s.least, min(s.most, int(r)))
}

// splat adds a point of light at x, in row y and dy of it down, to those of
// rows y0 to y1 that it touches, foot pixels to each side, by kernels for its place in
// a pixel.
func (r *renderer) splat(x float64, y int, dy float64, y0, y1, foot int, kernels [][]float32, light [3]float32) {
	left := int(math.Floor(x))
	ix, iy := int((x-float64(left))*subpixels), int(dy*subpixels)
	k := kernels[iy*subpixels+ix]
	side := 2*foot + 1
	from, to := max(0, foot-left), min(side, r.o.Width+foot-left)
	if from >= to {
		return
	}
	for j := max(0, y0-y+foot); j < min(side, y1-y+foot); j++ {
		at := 3 * ((y+j-foot)*r.o.Width + left + from - foot)
		px := r.p.Pix[at : at+3*(to-from)]
		for i, w := range k[j*side+from : j*side+to] {
			q := px[3*i : 3*i+3 : 3*i+3]
			q[0] += w * light[0]
			q[1] += w * light[1]
			q[2] += w * light[2]
		}
	}
}

func turn(x float64) float64 { return x - math.Floor(x) }
