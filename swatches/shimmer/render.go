package shimmer

import (
	"fmt"
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
	// Expected is the number of glints that theory puts in the picture, Drawn
	// how many fell inside it under this seed.
	Expected, Drawn float64
}

// Options are what a rendering needs besides film and scene.
type Options struct {
	Width, Height int     // pixels
	MMPerPixel    float64 // 0 means 0.085, life size at 300 dpi
	Seed          uint64
	Viewing       *colour.Viewing // nil is D65/2
	Workers       int             // 0 means one for each core
}

// maxPixels bounds a picture to 600 MB of linear light.
const maxPixels = 50e6

func (o Options) filled() (Options, error) {
	if o.MMPerPixel == 0 {
		o.MMPerPixel = 25.4 / 300
	}
	if o.Viewing == nil {
		o.Viewing = colour.D65
	}
	if o.Width < 1 || o.Height < 1 || float64(o.Width)*float64(o.Height) > maxPixels {
		return o, fmt.Errorf("a picture of %d × %d pixels; 1 to %.0f million are accepted", o.Width, o.Height, maxPixels/1e6)
	}
	if !(o.MMPerPixel > 1e-4 && o.MMPerPixel < 100) {
		return o, fmt.Errorf("%g mm to a pixel; 0.0001 to 100 is accepted", o.MMPerPixel)
	}
	return o, nil
}

// Render pictures a film in a scene. The same film, scene, size and seed give
// the same picture whatever the number of workers.
func Render(f *Film, s Scene, o Options) (*Picture, error) {
	o, err := o.filled()
	if err != nil {
		return nil, err
	}
	s = s.Filled()
	if err := s.Check(); err != nil {
		return nil, err
	}
	if err := f.Check(); err != nil {
		return nil, err
	}
	p := &Picture{Width: o.Width, Height: o.Height, MMPerPixel: o.MMPerPixel, Pix: make([]float32, 3*o.Width*o.Height)}
	r, err := newRenderer(f, s, o, p)
	if err != nil {
		return nil, err
	}
	parallel.For(o.Workers, len(r.rows), r.count)
	first := 0
	for i := range r.rows {
		r.rows[i].first = first
		first += r.rows[i].glints
	}
	bands := (o.Height + bandRows - 1) / bandRows
	parallel.For(o.Workers, bands, r.band)
	for i := range r.rows[edge : edge+o.Height] {
		p.Expected += r.rows[edge+i].expected
	}
	for _, n := range r.drawn {
		p.Drawn += n
	}
	return p, nil
}

const (
	bandRows = 16    // rows a worker takes at a time
	edge     = reach // rows and columns beyond the picture whose glints reach in
	// mostPerPixel is the number of glints in a pixel past which single ones
	// no longer show: the rest is added as an even light of the same sum.
	mostPerPixel = 24
)

// rgb is linear sRGB.
type rgb [3]float64

// row is one line of pixels; every point of it has the same normal.
type row struct {
	base     rgb     // light of a pixel without its single glints
	expected float64 // glints inside the picture
	mean     float64 // glints to draw, edges included
	glints   int     // number drawn
	first    int     // number drawn in the rows above
	kinds    []kind
}

// kind is one kind of flake as a row sees it.
type kind struct {
	upTo   float64 // share of the row's glints up to and with this kind
	energy rgb     // light, in pixels, of a glint of mean brightness
}

type renderer struct {
	o      Options
	film   *film.Film
	p      *Picture
	rows   []row         // edge rows above and below included
	bright []*brightness // by kind; kinds of one size share theirs
	shift  [3]float64    // seed's turn of the low-discrepancy sequence
	drawn  []float64     // glints inside the picture, by band
}

func newRenderer(f *Film, s Scene, o Options, p *Picture) (*renderer, error) {
	lain, err := f.lain()
	if err != nil {
		return nil, err
	}
	r := &renderer{o: o, film: lain, p: p, rows: make([]row, o.Height+2*edge), drawn: make([]float64, (o.Height+bandRows-1)/bandRows)}
	c := stream(o.Seed, math.MinInt32)
	for i := range r.shift {
		r.shift[i] = c.next()
	}
	blur := film.NewBlur(s.LampDeg)
	known := map[film.Size]*brightness{}
	for i := range f.Flakes {
		z := f.Flakes[i].Size
		if known[z] == nil {
			known[z] = newBrightness(z, blur)
		}
		r.bright = append(r.bright, known[z])
	}
	kinds := make([]kind, len(r.rows)*len(f.Flakes))
	eye := newEye(o.Viewing)
	even, fill := eye.see(&f.Even), eye.see(&f.Fill)
	for i := range r.rows {
		r.rows[i].kinds = kinds[i*len(f.Flakes) : (i+1)*len(f.Flakes)]
		r.shade(i, f, s, eye, even, fill)
	}
	return r, nil
}

// shade works out what every point of row i has in common.
func (r *renderer) shade(i int, f *Film, s Scene, eye *eye, even, fill rgb) {
	line := &r.rows[i]
	y := (float64(r.o.Height)/2 - (float64(i-edge) + 0.5)) * r.o.MMPerPixel
	normal, there := s.normalAt(y)
	if !there {
		return
	}
	add(&line.base, fill, s.FillShare*fillAt(normal))
	light, look := across(s.LightDeg), across(s.EyeDeg)
	g, lit := geometry(normal, light, look, r.film)
	if !lit {
		return
	}
	// The key is as strong as makes a perfect diffuser in the middle 1 with
	// the fill's help.
	key := (1 - s.FillShare) / math.Cos(s.LightDeg*degree) * g.ci
	add(&line.base, even, key*g.ti/(1-colour.Fresnel(r.film.Index, math.Sqrt2/2))*g.to/(1-colour.Fresnel(r.film.Index, 1)))

	blur := film.NewBlur(s.LampDeg)
	mm := r.o.MMPerPixel / 10
	area := mm * mm / g.co // cm² of skin in a pixel
	perPixel := 0.0
	var p colour.Spectrum
	for k := range f.Flakes {
		kf := &f.Flakes[k]
		kf.beamAt(g.localDeg(), &p)
		seen := eye.see(&p)
		count := kf.PerCM2 * g.chance * blur.Omega(kf.Size) * area
		perPixel += count
		line.kinds[k].upTo = perPixel
		if count > 0 { // the glints share the light
			add(&line.kinds[k].energy, seen, key*g.weight/count)
		}
	}
	line.expected = perPixel * float64(r.o.Width)
	if perPixel == 0 {
		return
	}
	before := 0.0
	single := math.Min(1, mostPerPixel/perPixel)
	for k := range line.kinds {
		count := line.kinds[k].upTo - before
		before = line.kinds[k].upTo
		add(&line.base, line.kinds[k].energy, count*(1-single))
		line.kinds[k].upTo /= perPixel
	}
	line.mean = perPixel * single * float64(r.o.Width+2*edge)
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
		base := r.rows[y+edge].base
		red, green, blue := float32(base[0]), float32(base[1]), float32(base[2])
		px := r.p.Pix[3*y*r.o.Width : 3*(y+1)*r.o.Width]
		for i := 0; i < len(px); i += 3 {
			px[i], px[i+1], px[i+2] = red, green, blue
		}
	}
	for y := y0 - edge; y < y1+edge; y++ {
		r.glintRow(y, y0, y1)
		if y >= y0 && y < y1 {
			line := &r.rows[y+edge]
			if line.mean > 0 { // glints added as even light count as drawn
				r.drawn[b] += line.expected - line.mean*float64(r.o.Width)/float64(r.o.Width+2*edge)
			}
		}
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
	own := y >= y0 && y < y1
	inPicture := 0
	for k := range line.glints {
		x := c.next()*(width+2*edge) - edge
		dy := c.next()
		if own && x >= 0 && x < width {
			inPicture++
		}
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
		e := line.kinds[kind].energy
		r.splat(x, y, dy, y0, y1, float32(bright*e[0]), float32(bright*e[1]), float32(bright*e[2]))
	}
	if own {
		r.drawn[y0/bandRows] += float64(inPicture)
	}
}
