package reading

import (
	"fmt"
	"image"
	"math"
	"sort"
	"strings"

	"gonum.org/v1/gonum/floats"

	"tawny/colour/table"
)

// patchStat is what the pixels of one marked area say, in linear light.
type patchStat struct {
	rgb     [3]float64 // robust value
	se      [3]float64 // standard error of rgb, from the scatter of its cells
	u, v    float64    // where the value belongs: centre of the area, in frames (see frame)
	width   float64    // size in frames
	height  float64
	slope   [2]float64 // d ln(light) / d(u, v) within the area
	slopeSE [2]float64
	clipped float64    // share of pixels with a channel at its end
	uneven  float64    // largest difference between ninths of the area, relative
	noise   float64    // median relative deviation of a pixel's light
	step    [2]float64 // by which the photo rounds light and colour, in 8-bit levels
	cells   [][3]float64
}

// Areas must be large enough for a mean and for the 8 × 8 blocks of a JPEG not
// to be the whole of it.
const minSide = 8

// mostPixels is how many pixels of an area are looked at; more gains nothing
// against the blocks' own error.
const mostPixels = 40000

// Area reads a rectangle, "x,y,w,h", in pixels of the upright photo or, with
// per cent signs, in parts of its width and height: "10%,20%,5%,5%".
func (p *Photo) Area(text string) (image.Rectangle, error) {
	var r image.Rectangle
	fields := strings.Split(text, ",")
	if len(fields) != 4 {
		return r, fmt.Errorf("area %q has %d numbers; x,y,width,height in pixels or per cent is accepted", text, len(fields))
	}
	var v [4]float64
	for i, f := range fields {
		f = strings.TrimSpace(f)
		f, percent := strings.CutSuffix(f, "%")
		x, err := table.Finite(f)
		if err != nil || math.Abs(x) > 1e6 {
			return r, fmt.Errorf("area %q: %q is not a number; x,y,width,height in pixels or per cent is accepted", text, fields[i])
		}
		if percent {
			x *= float64([2]int{p.Width, p.Height}[i%2]) / 100
		}
		v[i] = x
	}
	round := func(x float64) int { return int(math.Round(x)) }
	// Built by hand: image.Rect would swap the corners of a negative width
	// and hide the slip.
	r = image.Rectangle{
		Min: image.Point{X: round(v[0]), Y: round(v[1])},
		Max: image.Point{X: round(v[0] + v[2]), Y: round(v[1] + v[3])},
	}
	return r, p.holds(r)
}

// holds says what is wrong with an area.
func (p *Photo) holds(r image.Rectangle) error {
	switch {
	case r.Dx() < minSide || r.Dy() < minSide:
		return fmt.Errorf("the area %d,%d,%d,%d is %d × %d pixels; at least %d × %d is accepted, so come closer or mark more of it",
			r.Min.X, r.Min.Y, r.Dx(), r.Dy(), r.Dx(), r.Dy(), minSide, minSide)
	case !r.In(image.Rect(0, 0, p.Width, p.Height)):
		return fmt.Errorf("the area %d,%d,%d,%d reaches outside the photo, which is %d × %d pixels the right way up",
			r.Min.X, r.Min.Y, r.Dx(), r.Dy(), p.Width, p.Height)
	}
	return nil
}

// frame is the length that positions are counted in: the photo's longer side.
func (p *Photo) frame() float64 { return float64(max(p.Width, p.Height)) }

// pixel is one pixel looked at.
type pixel struct {
	rgb  [3]float64
	x, y float64
}

// measure reads an area. Its outer tenth is left out, where edges blur and a
// JPEG's colour, stored at half the resolution, bleeds in.
func (p *Photo) measure(r image.Rectangle) (patchStat, error) {
	if err := p.holds(r); err != nil {
		return patchStat{}, err
	}
	insetX, insetY := r.Dx()/10, r.Dy()/10
	r = image.Rect(r.Min.X+insetX, r.Min.Y+insetY, r.Max.X-insetX, r.Max.Y-insetY)
	step := 1
	for (r.Dx()/step)*(r.Dy()/step) > mostPixels {
		step++
	}
	// 253.5 and 1.5 of 255: at the end of the scale, or next to it by noise.
	const high, low = 65148, 386
	var list []pixel
	clipped := 0
	for y := r.Min.Y; y < r.Max.Y; y += step {
		for x := r.Min.X; x < r.Max.X; x += step {
			c := p.at(x, y)
			if c.A != 0xffff {
				return patchStat{}, fmt.Errorf("the area %d,%d,%d,%d is see-through in the picture; an opaque photo is accepted", r.Min.X, r.Min.Y, r.Dx(), r.Dy())
			}
			if max(c.R, c.G, c.B) >= high || min(c.R, c.G, c.B) <= low {
				clipped++
			}
			list = append(list, pixel{p.space.linear(c.R, c.G, c.B), float64(x) + 0.5, float64(y) + 0.5})
		}
	}
	s := robust(list, r, p.frame())
	s.clipped = float64(clipped) / float64(len(list))
	s.step = p.step
	s.round()
	f := p.frame()
	s.u = (float64(r.Min.X+r.Max.X)/2 - float64(p.Width)/2) / f
	s.v = (float64(r.Min.Y+r.Max.Y)/2 - float64(p.Height)/2) / f
	return s, nil
}

// round adds what rounding leaves unknown. A block's mean is stored in steps,
// and an even area has the same error in all its blocks, so it does not average
// out; a step is 1/√12 of itself off. Of colour, the shares that R, G and B
// take are those of Cb and Cr (ITU-R BT.601).
func (s *patchStat) round() {
	const cr, cgb, cgr, cb = 1.402, 0.344, 0.714, 1.772
	pixel := 1.0 // the decoder rounds each to a level again
	if s.step == [2]float64{} {
		return
	}
	y, c := s.step[0], math.Hypot(s.step[1], pixel)
	for i, share := range [3]float64{cr, math.Hypot(cgb, cgr), cb} {
		levels := math.Hypot(y, share*c) / math.Sqrt(12)
		s.se[i] = math.Hypot(s.se[i], levels/255*decodeSlope(s.rgb[i]))
	}
}

// relativeSE is the standard error of the light, as a share of it: the root
// mean square of the channels'.
func (s *patchStat) relativeSE() float64 {
	sum := 0.0
	for c := range 3 {
		e := s.se[c] / math.Max(s.rgb[c], 1e-4)
		sum += e * e / 3
	}
	return math.Sqrt(sum)
}

// decodeSlope is d(linear)/d(stored), both 0 to 1, of the sRGB curve.
func decodeSlope(linear float64) float64 {
	if linear <= 0.0031308 {
		return 1 / 12.92
	}
	return 2.4 / 1.055 * math.Pow(linear, 1.4/2.4)
}

// robust takes the geometric median, leaves out what lies far from it (a hair,
// a glint, dust), fits a plane to the means of small cells and returns its
// value at the centre. The plane keeps a sloping light from being counted as
// noise, and a lopsided loss of pixels from shifting the value.
func robust(list []pixel, r image.Rectangle, frame float64) patchStat {
	var s patchStat
	s.width, s.height = float64(r.Dx())/frame, float64(r.Dy())/frame
	centre := geometricMedian(list)
	distance := make([]float64, len(list))
	for i, p := range list {
		distance[i] = gap(p.rgb, centre)
	}
	// Three times the median distance is 4.6 σ of a three-dimensional
	// Gaussian: it keeps all noise and little else.
	cut := 3*median(append([]float64(nil), distance...)) + 1e-9

	const side = 6
	var sum [side * side][3]float64
	var place [side * side][2]float64
	var count [side * side]float64
	deviation := make([]float64, 0, len(list))
	light := lightOf(centre)
	for i, p := range list {
		if distance[i] > cut {
			continue
		}
		cx := min(int((p.x-float64(r.Min.X))*side/float64(r.Dx())), side-1)
		cy := min(int((p.y-float64(r.Min.Y))*side/float64(r.Dy())), side-1)
		k := cy*side + cx
		for c := range 3 {
			sum[k][c] += p.rgb[c]
		}
		place[k][0] += p.x
		place[k][1] += p.y
		count[k]++
		if light > 0 {
			deviation = append(deviation, math.Abs(lightOf(p.rgb)/light-1))
		}
	}
	if len(deviation) > 0 {
		s.noise = median(deviation)
	}
	var xs, ys, weight []float64
	for k := range count {
		if count[k] == 0 {
			continue
		}
		n := count[k]
		s.cells = append(s.cells, [3]float64{sum[k][0] / n, sum[k][1] / n, sum[k][2] / n})
		xs = append(xs, (place[k][0]/n-float64(r.Min.X+r.Max.X)/2)/frame)
		ys = append(ys, (place[k][1]/n-float64(r.Min.Y+r.Max.Y)/2)/frame)
		weight = append(weight, n)
	}
	values := make([]float64, len(s.cells))
	for c := range 3 {
		for k := range s.cells {
			values[k] = s.cells[k][c]
		}
		f := fitPlane(xs, ys, values, weight)
		s.rgb[c], s.se[c] = f.value, f.valueSE
	}
	for k := range s.cells {
		values[k] = lightOf(s.cells[k])
	}
	if f := fitPlane(xs, ys, values, weight); f.value > 0 {
		s.slope = [2]float64{f.slope[0] / f.value, f.slope[1] / f.value}
		s.slopeSE = [2]float64{f.slopeSE[0] / f.value, f.slopeSE[1] / f.value}
	}
	s.uneven = ninths(sum[:], count[:], side)
	return s
}

// ninths compares the mean light of the nine parts of an area, each two cells wide
// and high.
func ninths(sum [][3]float64, count []float64, side int) float64 {
	var total, n [9]float64
	for k := range count {
		part := k/side/2*3 + k%side/2
		total[part] += lightOf(sum[k])
		n[part] += count[k]
	}
	low, high := math.Inf(1), 0.0
	for part := range n {
		if n[part] > 0 {
			low, high = min(low, total[part]/n[part]), max(high, total[part]/n[part])
		}
	}
	if all := floats.Sum(total[:]); all > 0 {
		return (high - low) / (all / floats.Sum(n[:]))
	}
	return 0
}

// lightOf is relative luminance of linear sRGB (IEC 61966-2-1).
func lightOf(c [3]float64) float64 { return 0.2126*c[0] + 0.7152*c[1] + 0.0722*c[2] }

func gap(a, b [3]float64) float64 {
	x, y, z := a[0]-b[0], a[1]-b[1], a[2]-b[2]
	return math.Sqrt(x*x + y*y + z*z)
}

func median(v []float64) float64 {
	sort.Float64s(v)
	n := len(v)
	if n%2 == 1 {
		return v[n/2]
	}
	return (v[n/2-1] + v[n/2]) / 2
}

// geometricMedian is the point of least summed distance (Weiszfeld's
// iteration from the median of each channel). Half the pixels can be anything
// before it runs away.
func geometricMedian(list []pixel) (m [3]float64) {
	stride := 1 + len(list)/8000
	channel := make([]float64, 0, len(list)/stride+1)
	for c := range 3 {
		channel = channel[:0]
		for i := 0; i < len(list); i += stride {
			channel = append(channel, list[i].rgb[c])
		}
		m[c] = median(channel)
	}
	for range 40 {
		var sum [3]float64
		weights := 0.0
		for i := 0; i < len(list); i += stride {
			w := 1 / (gap(list[i].rgb, m) + 1e-7)
			weights += w
			for c := range sum {
				sum[c] += w * list[i].rgb[c]
			}
		}
		next := [3]float64{sum[0] / weights, sum[1] / weights, sum[2] / weights}
		moved := gap(next, m)
		m = next
		if moved < 1e-7 {
			break
		}
	}
	return m
}
