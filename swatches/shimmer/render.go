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
	Width, Height int     // pixels
	MMPerPixel    float64 // 0 means 0.085, life size at 300 dpi
	FeatherMM     float64 // over which one film on an arm thins out into the next; 0 is a line
	Left          int     // pixels of the same arm that lie left of the picture
	Seed          uint64
	Viewing       *colour.Viewing // nil is D65/2
	Workers       int             // 0 means one for each core
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

// Arm pictures films side by side on one arm, edge to edge and alike broad.
func Arm(films []*Film, s Scene, o Options) (*image.RGBA, error) {
	o, err := o.filled()
	if err != nil {
		return nil, err
	}
	whole := image.NewRGBA(image.Rect(0, 0, o.Width, o.Height))
	half := int(math.Round(min(o.FeatherMM/o.MMPerPixel, float64(o.Width)/float64(3*len(films))) / 2))
	var before *Picture
	for i, f := range films {
		one := o
		one.Left = max(0, o.Width*i/len(films)-half)
		one.Width = min(o.Width, o.Width*(i+1)/len(films)+half) - one.Left
		one.Seed = o.Seed + uint64(i)
		p := render(f, s, one)
		if before != nil {
			p.feather(before, 2*half)
		}
		p.onto(whole, one.Left)
		before = p
	}
	return whole, nil
}

// render pictures a film in a scene. The same film, scene, size and seed give
// the same picture whatever the number of workers.
func render(f *Film, s Scene, o Options) *Picture {
	r := newRenderer(f, s, o)
	r.draw()
	return r.p
}

func (r *renderer) draw() {
	o := r.o
	parallel.For(o.Workers, len(r.rows), r.count)
	first := 0
	for i := range r.rows {
		r.rows[i].first = first
		first += r.rows[i].glints
	}
	bands := (o.Height + bandRows - 1) / bandRows
	parallel.For(o.Workers, bands, r.band)
}

// feather lets the film before run out over the first columns of p, which are its
// own last ones. What lies between two coverages is taken as a share of each, and
// the seam wanders as a hand leaves it (drawn by eye).
func (p *Picture) feather(before *Picture, wide int) {
	const cellMM, wanders = 5.0, 0.4
	for y := range p.Height {
		to := p.Pix[3*y*p.Width : 3*(y*p.Width+wide)]
		from := before.Pix[3*((y+1)*before.Width-wide) : 3*(y+1)*before.Width]
		shift := wanders / 2 * wander(0, float64(y)*p.MMPerPixel/cellMM/64, 64, 5)
		for x := range wide {
			t := max(0, min(1, ((float64(x)+0.5)/float64(wide)+shift-wanders/2)/(1-wanders)))
			own := float32(t * t * (3 - 2*t))
			for i := 3 * x; i < 3*x+3; i++ {
				to[i] = from[i] + own*(to[i]-from[i])
			}
		}
	}
}

const (
	bandRows = 16    // rows a worker takes at a time
	edge     = reach // rows and columns beyond the picture whose glints reach in
	// mostPerPixel is the number of glints in a pixel past which fewer are drawn:
	// they share so much of the light, and the rest is added evenly, that mean
	// and spread stay those of them all.
	mostPerPixel = 3
)

// rgb is linear sRGB.
type rgb [3]float64

// row is one line of pixels of the arm.
type row struct {
	normalDeg float64
	mean      float64 // glints to draw, edges included
	glints    int     // number drawn
	each      float64 // how many glints one that is drawn stands for
	first     int     // number drawn in the rows above
	even      float32 // part of the flakes' light that is not drawn as single glints
	kinds     []kind
}

// kind is one powder of flakes as a row sees it.
type kind struct {
	upTo   float64 // share of the row's glints up to and with this powder
	energy rgb     // light, in pixels, of a glint of mean brightness
}

// turned is how skin of one normal looks.
type turned struct{ base, flakes [3]float32 }

type renderer struct {
	o      Options
	film   *film.Film // as wide as the lamp shows it
	p      *Picture
	rows   []row // edge rows above and below included
	turns  []turned
	relief *relief       // nil of a smooth plane
	bright []*brightness // by powder
	shift  [3]float64    // seed's turn of the low-discrepancy sequence
}

func newRenderer(f *Film, s Scene, o Options) *renderer {
	p := &Picture{Width: o.Width, Height: o.Height, MMPerPixel: o.MMPerPixel, Pix: make([]float32, 3*o.Width*o.Height)}
	r := &renderer{o: o, p: p, rows: make([]row, o.Height+2*edge)}
	r.film = &film.Film{Lay: film.Lay{Index: f.index()}}
	if f.TiltDeg > 0 {
		r.film.TiltDeg = math.Atan(widened(math.Tan(f.TiltDeg*degree), s.LampDeg, f.index())) / degree
	}
	c := stream(o.Seed, math.MinInt32)
	for i := range r.shift {
		r.shift[i] = c.next()
	}
	l := newLight(f, s, o.Viewing, r.film)
	for i := range f.Flakes {
		r.bright = append(r.bright, newBrightness(f.Flakes[i].Size, l.blur))
	}
	kinds := make([]kind, len(r.rows)*len(f.Flakes))
	for i := range r.rows {
		line := &r.rows[i]
		line.normalDeg = s.normalDeg(1 - 2*(float64(i-edge)+0.5)/float64(o.Height))
		line.kinds = kinds[i*len(f.Flakes) : (i+1)*len(f.Flakes)]
		r.deal(line, l)
	}
	if !s.Flat {
		r.relief = reliefOf(o.MMPerPixel, o.Workers)
	}
	r.turns = make([]turned, turnSteps+1)
	for i := range r.turns {
		at := l.at((float64(i)/turnSteps*2 - 1) * 90)
		for ch := range 3 {
			r.turns[i].base[ch] = float32(at.base[ch])
			for k := range at.kinds {
				r.turns[i].flakes[ch] += float32(at.kinds[k].light[ch])
			}
		}
	}
	return r
}

// reliefAt returns how far the skin leans in a pixel, degrees, and its shade.
func (r *renderer) reliefAt(x, y int) (lean float64, shade float32) {
	if r.relief == nil {
		return 0, 1
	}
	i := r.relief.at(x+r.o.Left+edge, y+edge)
	return float64(r.relief.lean[i]), r.relief.shade[i]
}

// catching is how much more light a flake throws where the skin leans.
func (r *renderer) catching(line *row, x, y int) float64 {
	lean, _ := r.reliefAt(x, y)
	if lean == 0 {
		return 1
	}
	_, there := r.seen(line.normalDeg + lean)
	_, mean := r.seen(line.normalDeg)
	return float64(there[1] / (mean[1] + 1e-9))
}

const turnSteps = 720 // a quarter of a degree each

// seen returns how the skin looks where its normal leans so far.
func (r *renderer) seen(deg float64) (base, flakes [3]float32) {
	at := max(0, min(turnSteps-1e-6, (deg+90)/180*turnSteps))
	i := int(at)
	t := float32(at - float64(i))
	a, b := &r.turns[i], &r.turns[i+1]
	for ch := range 3 {
		base[ch] = a.base[ch] + t*(b.base[ch]-a.base[ch])
		flakes[ch] = a.flakes[ch] + t*(b.flakes[ch]-a.flakes[ch])
	}
	return base, flakes
}

// deal works out the single glints of a row.
func (r *renderer) deal(line *row, l *light) {
	at := l.at(line.normalDeg)
	mm := r.o.MMPerPixel / 10
	perPixel := 0.0
	for k := range at.kinds {
		count := at.kinds[k].perCM2 * mm * mm
		perPixel += count
		line.kinds[k].upTo = perPixel
		if count > 0 { // the glints share the light
			add(&line.kinds[k].energy, at.kinds[k].light, 1/count)
		}
	}
	line.even = 1
	if perPixel == 0 {
		return
	}
	line.each = math.Max(1, perPixel/mostPerPixel)
	// N glints of light E/N vary by E²/N; N/each of them varying alike share
	// E/√each.
	single := 1 / math.Sqrt(line.each)
	line.even = float32(1 - single)
	for k := range line.kinds {
		line.kinds[k].upTo /= perPixel
		for ch := range line.kinds[k].energy {
			line.kinds[k].energy[ch] *= single * line.each
		}
	}
	line.mean = perPixel / line.each * float64(r.o.Width+2*edge)
}

func add(to *rgb, v rgb, k float64) {
	for i := range to {
		to[i] += k * v[i]
	}
}

// count draws how many glints fall in row i.
func (r *renderer) count(i int) {
	c := stream(r.o.Seed, 2*i)
	r.rows[i].glints = c.poisson(r.rows[i].mean)
}

// band paints one band of the picture: its even light, then the glints of its
// own rows and of the neighbours whose light reaches in.
func (r *renderer) band(b int) {
	y0 := b * bandRows
	y1 := min(y0+bandRows, r.o.Height)
	for y := y0; y < y1; y++ {
		line := &r.rows[y+edge]
		px := r.p.Pix[3*y*r.o.Width : 3*(y+1)*r.o.Width]
		for x := range r.o.Width {
			lean, shade := r.reliefAt(x, y)
			base, flakes := r.seen(line.normalDeg + lean)
			for ch := range 3 {
				px[3*x+ch] = shade * (base[ch] + line.even*flakes[ch])
			}
		}
	}
	for y := y0 - edge; y < y1+edge; y++ {
		r.glintRow(y, y0, y1)
	}
}

// glintRow draws the glints of row y that touch rows y0 to y1.
func (r *renderer) glintRow(y, y0, y1 int) {
	line := &r.rows[y+edge]
	if line.glints == 0 {
		return
	}
	c := stream(r.o.Seed, 2*(y+edge)+1)
	width := float64(r.o.Width)
	for k := range line.glints {
		x := c.next()*(width+2*edge) - edge
		dy := c.next()
		// The size and kind of glint number q follow a low-discrepancy
		// sequence (Roberts' generalised golden ratios, three dimensions), so
		// that even a small patch has its share of large and small ones.
		q := float64(line.first + k)
		which := turn(r.shift[0] + q*0.8191725133961645)
		kind := 0
		for kind < len(line.kinds)-1 && which > line.kinds[kind].upTo {
			kind++
		}
		bright := r.bright[kind].at(turn(r.shift[1]+q*0.6710436067037893), turn(r.shift[2]+q*0.5497004779019703))
		bright *= r.catching(line, int(math.Floor(x)), y)
		e := line.kinds[kind].energy
		r.splat(x, y, dy, y0, y1, float32(bright*e[0]), float32(bright*e[1]), float32(bright*e[2]))
	}
}
