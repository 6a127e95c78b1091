package shimmer

import (
	"cmp"
	"fmt"
	"image"
	"math"

	"tawny/blend/film"
	"tawny/colour"
	"tawny/colour/parallel"
)

// Picture is a rendering in linear light.
type Picture struct {
	Width, Height int     // pixels
	MMPerPixel    float64 // physical scale
	// Pix holds linear sRGB, three values to a pixel, row by row from the top.
	// The perfect diffuser is 1; lit flakes go far beyond, and colours outside
	// sRGB have negative parts. Nothing is clipped.
	Pix []float32
}

// Options are what a rendering needs besides film and scene.
type Options struct {
	Width, Height int       // pixels
	MMPerPixel    float64   // 0 means 0.085, life size at 300 dpi
	Ends          []float64 // of an arm's films, as shares of its width; nil for alike broad
	FeatherMM     float64   // over which one film on an arm thins out into the next; 0 is a line
	Left          int       // pixels of the same arm that lie left of the picture
	Seed          uint64
	Viewing       *colour.Viewing // nil is D65/2
}

// maxPixels bounds a picture to 600 MB of linear light.
const maxPixels = 50e6

func (o Options) filled() (Options, error) {
	o.MMPerPixel = cmp.Or(o.MMPerPixel, 25.4/300)
	o.Viewing = cmp.Or(o.Viewing, colour.D65)
	if o.Width < 1 || o.Height < 1 || float64(o.Width)*float64(o.Height) > maxPixels {
		return o, fmt.Errorf("a picture of %d × %d pixels; 1 to %.0f million are accepted", o.Width, o.Height, maxPixels/1e6)
	}
	if !(o.MMPerPixel > 1e-4 && o.MMPerPixel < 100) {
		return o, fmt.Errorf("%g mm to a pixel; 0.0001 to 100 is accepted", o.MMPerPixel)
	}
	return o, nil
}

// Arm pictures films side by side on one arm, edge to edge.
func Arm(films []*Film, s Scene, o Options) (*image.RGBA, error) {
	o, err := o.filled()
	if err != nil {
		return nil, err
	}
	whole := image.NewRGBA(image.Rect(0, 0, o.Width, o.Height))
	for i := len(o.Ends); i < len(films); i++ {
		o.Ends = append(o.Ends, float64(i+1)/float64(len(films)))
	}
	least, from := 1.0, 0.0
	for _, end := range o.Ends {
		least, from = min(least, end-from), end
	}
	half := int(math.Round(min(o.FeatherMM/o.MMPerPixel, mostSeam*least*float64(o.Width)) / 2))
	var before *Picture
	from = 0
	for i, f := range films {
		one := o
		one.Left = max(0, int(from*float64(o.Width))-half)
		from = o.Ends[i]
		one.Width = min(o.Width, int(from*float64(o.Width))+half) - one.Left
		one.Seed = o.Seed + uint64(i)
		r := newRenderer(f, s, one)
		r.toned = true
		r.draw()
		r.p.tone(s.knee())
		if before != nil {
			r.p.feather(before, 2*half, one.Seed)
		}
		r.p.onto(whole, one.Left)
		before = r.p
	}
	return whole, nil
}

// mostSeam is the most of a film's breadth that its seams take.
const mostSeam = 0.95

func (r *renderer) draw() {
	o := r.o
	parallel.For(0, len(r.rows), r.count)
	first := make([]int, len(r.bright))
	for i := range r.rows {
		for k := range first {
			line := &r.rows[i].kinds[k]
			line.first = first[k]
			first[k] += line.glints
		}
	}
	bands := (o.Height + bandRows - 1) / bandRows
	parallel.For(0, bands, r.band)
}

// feather lets the film before run out over the first columns of p, which are its
// own last ones. What lies between two coverages is taken as a share of each as it is
// shown, so that a gleam far beyond a screen comes up over the whole of the seam; and
// every seam wanders and softens in its own way, as a hand leaves it (drawn by eye).
func (p *Picture) feather(before *Picture, wide int, seed uint64) {
	const soft, softer = 0.40, 0.10 // of the seam's breadth that half of it takes
	for y := range p.Height {
		to := p.Pix[3*y*p.Width : 3*(y*p.Width+wide)]
		from := before.Pix[3*((y+1)*before.Width-wide) : 3*(y+1)*before.Width]
		at := func(cellMM float64, of uint64) float64 {
			return wander(0, float64(y)*p.MMPerPixel/cellMM/64, 64, 4*seed+of)
		}
		half := soft + softer*at(7, 0)
		middle := 0.5 + (0.5-half)*(0.75*at(11, 1)+0.25*at(3.5, 2))
		for x := range wide {
			t := max(0, min(1, ((float64(x)+0.5)/float64(wide)-middle+half)/(2*half)))
			own := float32(t * t * (3 - 2*t))
			for i := 3 * x; i < 3*x+3; i++ {
				to[i] = from[i] + own*(to[i]-from[i])
			}
		}
	}
}

const bandRows = 40 // rows a worker takes at a time

// rgb is linear sRGB.
type rgb [3]float64

// row is one line of pixels of the arm.
type row struct {
	normalDeg float64
	deep      float32 // how much darker furrows are than in the key light, times
	kinds     []kind
}

// kind is one powder of flakes as a row sees it.
type kind struct {
	mean   float64 // glints to draw, edges included
	glints int     // number drawn
	each   float64 // how many glints one that is drawn stands for
	first  int     // number drawn in the rows above
	even   float32 // part of its light that is not drawn as single glints
	energy rgb     // light, in pixels, of a glint of mean brightness
}

type renderer struct {
	o      Options
	film   *film.Film // as wide as the lamp shows it
	p      *Picture
	edge   int   // rows and columns beyond the picture whose glints reach in
	rows   []row // those included
	bases  turns
	flakes []turns       // of each powder
	relief *relief       // nil of a smooth plane
	bright []*brightness // by powder
	shift  [][2]float64  // by powder, the seed's turn of the low-discrepancy sequence
	spread *spread
	white  [3]float32 // of the key light
	filled float64    // part of the relief that the film fills
	toned  bool       // glints as they are shown, not as bright as they are
}

func newRenderer(f *Film, s Scene, o Options) *renderer {
	p := &Picture{Width: o.Width, Height: o.Height, MMPerPixel: o.MMPerPixel, Pix: make([]float32, 3*o.Width*o.Height)}
	r := &renderer{o: o, p: p, spread: spreadAt(o.MMPerPixel), filled: f.Filled}
	r.edge = r.spread.most
	r.rows = make([]row, o.Height+2*r.edge)
	r.film = &film.Film{Lay: film.Lay{Index: f.index()}}
	if f.TiltDeg > 0 {
		r.film.TiltDeg = math.Atan(widened(math.Tan(f.TiltDeg*degree), s.LampDeg, f.index())) / degree
	}
	c := stream(o.Seed, math.MinInt32)
	l := newLight(f, s, o.Viewing, r.film)
	for ch, v := range l.white {
		r.white[ch] = float32(v)
	}
	for i := range f.Flakes {
		r.bright = append(r.bright, newBrightness(f.Flakes[i].Size, l.blur))
		r.shift = append(r.shift, [2]float64{c.next(), c.next()})
	}
	kinds := make([]kind, len(r.rows)*len(f.Flakes))
	for i := range r.rows {
		line := &r.rows[i]
		line.normalDeg = s.normalDeg(1 - 2*(float64(i-r.edge)+0.5)/float64(o.Height))
		line.deep = float32(1 + shadeDeep*math.Pow(s.shadeOn(across(line.normalDeg)), 2))
		line.kinds = kinds[i*len(f.Flakes) : (i+1)*len(f.Flakes)]
		r.deal(line, l)
	}
	if !s.Flat {
		r.relief = reliefOf(o.MMPerPixel)
	}
	r.flakes = make([]turns, len(f.Flakes))
	for i := range r.bases {
		at := l.at((float64(i)/turnSteps*2 - 1) * 90)
		r.bases.set(i, at.base)
		for k := range at.kinds {
			r.flakes[k].set(i, at.kinds[k].light)
		}
	}
	return r
}

// reliefAt returns how far the skin leans in a pixel, degrees, and its shade.
func (r *renderer) reliefAt(x, y int) (lean float64, shade float32) {
	if r.relief == nil {
		return 0, 1
	}
	i := r.relief.at(x+r.o.Left+r.edge, y+r.edge)
	open := 1 - r.filled
	return open * float64(r.relief.lean[i]), r.relief.shade[i] + float32(open)*r.rows[y+r.edge].deep*r.relief.deep[i]
}

// catching is how much more light a powder's flake throws where the skin leans.
func (r *renderer) catching(line *row, k, x, y int) float64 {
	lean, _ := r.reliefAt(x, y)
	if lean == 0 {
		return 1
	}
	there, mean := r.flakes[k].at(line.normalDeg+lean), r.flakes[k].at(line.normalDeg)
	return float64(there[1] / (mean[1] + 1e-9))
}

const turnSteps = 720 // a quarter of a degree each

// turns is a light by how far the skin's normal leans, from -90° to 90°.
type turns [turnSteps + 1][3]float32

func (t *turns) set(i int, v rgb) {
	for ch := range v {
		t[i][ch] = float32(v[ch])
	}
}

func (t *turns) at(deg float64) (v [3]float32) {
	at := max(0, min(turnSteps-1e-6, (deg+90)/180*turnSteps))
	i := int(at)
	part := float32(at - float64(i))
	a, b := &t[i], &t[i+1]
	for ch := range v {
		v[ch] = a[ch] + part*(b[ch]-a[ch])
	}
	return v
}

// deal works out the single glints of a row.
func (r *renderer) deal(line *row, l *light) {
	at := l.at(line.normalDeg)
	mm := r.o.MMPerPixel / 10
	for k := range line.kinds {
		kind := &line.kinds[k]
		perPixel := at.kinds[k].perCM2 * mm * mm
		if perPixel == 0 {
			kind.even = 1
			continue
		}
		kind.each = math.Max(1, perPixel*float64(len(line.kinds))/r.spread.perPixel())
		// N glints of light E/N vary by E²/N; N/each of them varying alike share
		// E/√each.
		single := 1 / math.Sqrt(kind.each)
		kind.even = float32(1 - single)
		add(&kind.energy, at.kinds[k].light, single*kind.each/perPixel)
		kind.mean = perPixel / kind.each * float64(r.o.Width+2*r.edge)
	}
}

func add(to *rgb, v rgb, k float64) {
	for i := range to {
		to[i] += k * v[i]
	}
}

// stream is the number of the stream that places a powder's glints in row i; the
// one before it counts them.
func (r *renderer) stream(i, k int) int { return 2*(i*len(r.bright)+k) + 1 }

// count draws how many glints fall in row i.
func (r *renderer) count(i int) {
	for k := range r.rows[i].kinds {
		kind := &r.rows[i].kinds[k]
		c := stream(r.o.Seed, r.stream(i, k)-1)
		kind.glints = c.poisson(kind.mean)
	}
}

// band paints one band of the picture: its even light, then the glints of its
// own rows and of the neighbours whose light reaches in.
func (r *renderer) band(b int) {
	y0 := b * bandRows
	y1 := min(y0+bandRows, r.o.Height)
	for y := y0; y < y1; y++ {
		line := &r.rows[y+r.edge]
		px := r.p.Pix[3*y*r.o.Width : 3*(y+1)*r.o.Width]
		for x := range r.o.Width {
			lean, shade := r.reliefAt(x, y)
			light := r.bases.at(line.normalDeg + lean)
			for k := range line.kinds {
				even := line.kinds[k].even
				if even == 0 {
					continue
				}
				flakes := r.flakes[k].at(line.normalDeg + lean)
				for ch := range light {
					light[ch] += even * flakes[ch]
				}
			}
			for ch := range light {
				px[3*x+ch] = shade * light[ch]
			}
		}
	}
	for y := y0 - r.edge; y < y1+r.edge; y++ {
		for k := range r.bright {
			r.glintRow(y, k, y0, y1)
		}
	}
}

// glintRow draws those glints of a powder in row y that touch rows y0 to y1.
func (r *renderer) glintRow(y, k, y0, y1 int) {
	line := &r.rows[y+r.edge]
	kind := &line.kinds[k]
	c := stream(r.o.Seed, r.stream(y+r.edge, k))
	width, edge := float64(r.o.Width), float64(r.edge)
	for i := range kind.glints {
		x := c.next()*(width+2*edge) - edge
		dy := c.next()
		// The size of glint number q follows a low-discrepancy sequence (Roberts'
		// generalised golden ratios, two dimensions), so that even a small patch
		// has its share of large and small ones.
		q := float64(kind.first + i)
		bright := r.bright[k].at(turn(r.shift[k][0]+q*0.7548776662466927), turn(r.shift[k][1]+q*0.5698402909980532))
		bright *= r.catching(line, k, int(math.Floor(x)), y)
		r.glint(x, y, dy, y0, y1, bright, &kind.energy)
	}
}

// glint draws one glint, so many times as bright as the mean, in those of rows y0 to y1
// that it touches.
func (r *renderer) glint(x float64, y int, dy float64, y0, y1 int, bright float64, mean *rgb) {
	off := max(y0-y, y-y1+1) // rows that the band is away
	if r.toned {
		all := bright * max(mean[0], mean[1], mean[2])
		bright *= r.spread.shown(all)
		if core := r.spread.core(all); core > 0 && r.spread.coreFoot >= off {
			r.splat(x, y, dy, y0, y1, r.spread.coreFoot, r.spread.cores, [3]float32{core * r.white[0], core * r.white[1], core * r.white[2]})
		}
	}
	var light [3]float32
	for ch, e := range mean {
		light[ch] = float32(bright * e)
	}
	if foot := r.spread.foot(max(light[0], light[1], light[2])); foot >= off {
		r.splat(x, y, dy, y0, y1, foot, r.spread.kernels[foot], light)
	}
}
