package shimmer

import (
	"math"
	"sync/atomic"

	"tawny/colour/parallel"
)

// relief is the skin's own surface on a piece that repeats: how far the normal
// leans to the top of the picture in each pixel, and how dark the skin is there.
//
// Furrows run between plates of four tenths of a millimetre, with finer ones in
// them, and keep a little of the light; the tone wanders by about a fortieth over
// millimetres (from memory: skin's relief is some tens of µm deep; drawn by eye).
type relief struct {
	mm    float64   // of a pixel
	side  int       // pixels
	lean  []float32 // degrees
	shade []float32 // of the light returned; its mean is 1
	deep  []float32 // what furrows keep of it beside that; its mean is 0
}

const (
	reliefSide   = 256
	plateMM      = 0.42
	fineMM       = 0.19
	furrowDeg    = 3.2 // standard deviation of the lean, degrees, seen close
	mottled      = 0.016
	blotchMM     = 2.6
	blotchWideMM = 8.0
	keptDeep     = 0.075 // of the light, in a furrow, seen close
	shadeDeep    = 4     // times as much more out of the key light, which reaches in where the rest does not
)

// reliefOf returns the relief at a scale, kept for the next picture of it.
func reliefOf(mmPerPixel float64) *relief {
	if r := lastRelief.Load(); r != nil && r.mm == mmPerPixel {
		return r
	}
	r := newRelief(mmPerPixel)
	lastRelief.Store(r)
	return r
}

var lastRelief atomic.Pointer[relief]

func newRelief(mmPerPixel float64) *relief {
	r := &relief{mm: mmPerPixel, side: reliefSide, lean: make([]float32, reliefSide*reliefSide), shade: make([]float32, reliefSide*reliefSide)}
	mm := mmPerPixel * reliefSide
	height := make([]float32, len(r.lean))
	parallel.For(0, r.side, func(y int) {
		for x := range r.side {
			u, v := (float64(x)+0.5)/reliefSide, (float64(y)+0.5)/reliefSide
			height[y*r.side+x] = float32(furrows(u, v, cells(mm, plateMM), 1) + 0.6*furrows(u, v, cells(mm, fineMM), 2))
			r.shade[y*r.side+x] = float32(wander(u, v, cells(mm, blotchMM), 3) + 1.2*wander(u, v, cells(mm, blotchWideMM), 4))
		}
	})
	sum, square, depth := 0.0, 0.0, 0.0
	for i := range r.lean {
		r.lean[i] = height[(i+r.side)%len(height)] - height[i]
		square += float64(r.lean[i]) * float64(r.lean[i])
		sum += float64(r.shade[i])
		depth += float64(height[i])
	}
	// A pixel wider than a furrow sees its two sides together, and so does the finest
	// spot of an eye, as it spreads a glint.
	seen := 1 / (1 + math.Pow(math.Hypot(mmPerPixel, spotMM)/0.16, 2))
	slope := furrowDeg * seen / math.Sqrt(square/float64(len(r.lean))+1e-12)
	r.deep = height
	mean := float32(sum / float64(len(r.shade)))
	for i := range r.lean {
		r.lean[i] *= float32(slope)
		r.deep[i] = float32(keptDeep * seen * (float64(height[i]) - depth/float64(len(height))))
		r.shade[i] = 1 + mottled*(r.shade[i]-mean)
	}
	return r
}

// at returns a pixel's place.
func (r *relief) at(x, y int) int { return (y%r.side)*r.side + x%r.side }

// cells is the number of cells across a piece.
func cells(mm, cell float64) int { return max(1, int(math.Round(mm/cell))) }

// furrows is the depth at a place of a pattern that repeats after 1: 0 on a
// plate, down to -1 on the line between two, which lies as far from the nearest
// of a jittered grid's points as from the next (Worley, "A cellular texture
// basis function", SIGGRAPH 1996).
func furrows(u, v float64, n int, seed uint64) float64 {
	u, v = u*float64(n), v*float64(n)
	cu, cv := int(u), int(v)
	first, second := math.Inf(1), math.Inf(1)
	for j := cv - 1; j <= cv+1; j++ {
		for i := cu - 1; i <= cu+1; i++ {
			h := corner(i, j, n, seed)
			du := float64(i) + float64(uint32(h))/(1<<32) - u
			dv := float64(j) + float64(h>>32)/(1<<32) - v
			switch d := du*du + dv*dv; {
			case d < first:
				first, second = d, first
			case d < second:
				second = d
			}
		}
	}
	gap := (math.Sqrt(second) - math.Sqrt(first)) / 0.45
	return -1 / (1 + gap*gap)
}

// wander is a smooth noise that repeats after 1, about -1 to 1.
func wander(u, v float64, n int, seed uint64) float64 {
	u, v = u*float64(n), v*float64(n)
	cu, cv := int(u), int(v)
	value := func(i, j int) float64 { return float64(corner(i, j, n, seed)>>11)/(1<<52) - 1 }
	ease := func(t float64) float64 { return t * t * (3 - 2*t) }
	s, t := ease(u-float64(cu)), ease(v-float64(cv))
	top := value(cu, cv)*(1-s) + value(cu+1, cv)*s
	foot := value(cu, cv+1)*(1-s) + value(cu+1, cv+1)*s
	return top*(1-t) + foot*t
}

// corner is a cell's own number, by its place among n × n that repeat.
func corner(i, j, n int, seed uint64) uint64 {
	return mix(mix(seed*golden+uint64((i+n)%n)) + uint64((j+n)%n)*golden)
}
