package film

import (
	"fmt"
	"math"

	"tawny/colour"
	"tawny/colour/skin"
)

const (
	trapDeg   = 5.0                // half angle of the gloss trap (common practice)
	trapShare = 0.0075961234938959 // sin² 5°, of Lambertian light
)

// Reader is one way of reading films that lie one way. It is made once and used
// by many goroutines.
type Reader struct {
	film   *Film
	way    colour.Geometry // "" at the other angles
	facets []facet
	gloss  float64 // of the film's own surface, in the reading
	skin   float64 // of bare skin's surface, likewise, before its haze's share
}

// way is what a reader is kept by.
type way struct {
	geometry colour.Geometry // "" at an angle
	deg      float64
}

// Reader returns the reader of a geometry. It is kept with the film.
func (f *Film) Reader(g colour.Geometry) (*Reader, error) {
	return f.readers.Get(way{geometry: g}, func() (*Reader, error) { return f.reader(g) })
}

func (f *Film) reader(g colour.Geometry) (*Reader, error) {
	var r *Reader
	skins, err := f.bare(g, false)
	if err != nil {
		return nil, fmt.Errorf("film: %w", err)
	}
	switch g {
	case colour.DI, colour.DE:
		r = f.sphere(g == colour.DE)
	case colour.At45:
		if r, err = f.angle(45); err != nil {
			return nil, err
		}
	default:
		r = f.round(towards(0))
	}
	r.way, r.skin = g, skins.Mirror
	return r, nil
}

// Card takes the surface off a reading, in the reader's own geometry, of a card under
// the binder alone: smooth, it mirrors as the binder does and throws nothing sideways,
// and no film on it has a skin's haze.
func (r *Reader) Card(read *colour.Spectrum) (Under, error) {
	return r.film.under(&Ground{Reflectance: *read, Geometry: r.way, Card: true})
}

// Of the surface's slopes so many points an axis are taken where everything that
// leaves counts, and where a direction does: within L* 0.01 and 0.07 of 21 points.
const (
	roundPoints  = 3
	viewedPoints = 5
)

// round reads all that leaves under light from one direction.
func (f *Film) round(in vec) *Reader {
	r := &Reader{film: f}
	for _, p := range f.inPlane(roundPoints) {
		fr := newFrame(p.normal, in)
		r.facets = append(r.facets, f.facet(&fr, p.share*fr.in[2]/(p.normal[2]*in[2])))
	}
	return r
}

// sphere reads as a sphere does, its gloss trapped or not.
func (f *Film) sphere(trapped bool) *Reader {
	in := towards(skin.SphereDeg)
	r := f.round(in)
	if !trapped {
		for _, p := range f.inPlane(roundPoints) {
			cos := in.dot(p.normal)
			r.gloss += p.share * cos / (p.normal[2] * in[2]) * colour.Fresnel(f.Index, cos)
		}
		return r
	}
	out := vec{in[0], in[1], -in[2]}
	pieces := f.inPlane(roundPoints)
	for i := range r.facets {
		a := &r.facets[i]
		fr := newFrame(pieces[i].normal, in)
		lost := f.trapped(a, &fr, out)
		a.byBeam *= (1 - lost/a.entry.tau) / (1 - trapShare)
	}
	r.gloss = f.sideways(in)
	return r
}

// trapped is the share of a facet's b that leaves into the trap round direction
// out.
func (f *Film) trapped(a *facet, fr *frame, out vec) float64 {
	if f.slope < narrowest {
		return a.entry.tau
	}
	side := vec{0, 1, 0}
	up := out.cross(side)
	sum := 0.0
	const rings, around = 12, 24
	for i := range rings {
		// Midpoints of equal solid angle.
		cos := 1 - (float64(i)+0.5)/rings*(1-math.Cos(trapDeg*math.Pi/180))
		for j := range around {
			sin, turn := math.Sincos(2 * math.Pi * (float64(j) + 0.5) / around)
			d := out.scaled(cos).plus(side.scaled(sine(cos) * sin)).plus(up.scaled(sine(cos) * turn))
			local := fr.local(d)
			if local[2] >= 0 {
				continue
			}
			lobe, _ := a.entry.lobe(f.cones, f.slope, local.refracted(f.Index))
			sum += lobe * (1 - colour.Fresnel(f.Index, -local[2])) * -local[2]
		}
	}
	solid := 2 * math.Pi * (1 - math.Cos(trapDeg*math.Pi/180)) / (rings * around)
	return min(sum*solid/math.Pi, a.entry.tau)
}

// narrowest is a slope below which a mirrored beam is taken as a mirror's.
const narrowest = 0.005

// sideways is what a tilted surface's own gloss throws past the trap.
func (f *Film) sideways(in vec) float64 {
	if f.surface == 0 {
		return 0
	}
	out := vec{in[0], in[1], -in[2]}
	edge := math.Cos(trapDeg * math.Pi / 180)
	sum := 0.0
	m := normals(f.surface, fineTilts)
	for _, n := range m {
		cos := in.dot(n)
		if cos <= 0 {
			continue
		}
		if in.mirrored(n).dot(out) < edge {
			sum += cos / (n[2] * in[2]) * colour.Fresnel(f.Index, cos)
		}
	}
	return sum / float64(len(m)) / (1 - trapShare)
}

// Angle returns the reader of the radiance factor at an aspecular angle, in the
// plane of light at 45°: from above 0° (the mirror direction) to below 135°. It is
// kept with the film.
func (f *Film) Angle(aspecularDeg float64) (*Reader, error) {
	return f.readers.Get(way{deg: aspecularDeg}, func() (*Reader, error) { return f.angle(aspecularDeg) })
}

func (f *Film) angle(aspecularDeg float64) (*Reader, error) {
	if !(aspecularDeg > 0 && aspecularDeg < 135) {
		return nil, fmt.Errorf("film: an aspecular angle lies between 0° and 135°, got %g°", aspecularDeg)
	}
	in := towards(45)
	out := towards(45 - aspecularDeg)
	out[2] = -out[2]
	skins, err := f.bare(colour.At45, false)
	if err != nil {
		return nil, err
	}
	r := &Reader{film: f, skin: skins.Mirror}
	for _, p := range f.inPlane(viewedPoints) {
		fr := newFrame(p.normal, in)
		local := fr.local(out)
		if fr.in[2] < 1e-3 || local[2] > -1e-3 {
			continue // turned away from the light or from the eye
		}
		share := p.share * fr.in[2] * local[2] / (p.normal[2] * in[2] * out[2])
		base := f.facet(&fr, 1)
		r.facets = append(r.facets, f.from(base, local, share))
	}
	r.gloss = f.mirrorAt(in, out)
	return r, nil
}

// mirrorAt is the radiance factor of a tilting surface's own mirror light,
// π F P/(4 m_z⁴ cosθi cosθo), P the density of its slopes; 0 of a flat one off
// the mirror direction.
func (f *Film) mirrorAt(in, out vec) float64 {
	if f.surface == 0 {
		return 0
	}
	m := in.plus(out.scaled(-1)).unit()
	return math.Pi * colour.Fresnel(f.Index, in.dot(m)) * slopeDensity(m, f.surface) / (4 * math.Pow(m[2], 4) * in[2] * -out[2])
}

// Prepare makes a powder ready for the reader.
func (r *Reader) Prepare(p *Powder) *Prepared {
	out := &Prepared{make([][colour.Bands]coefficients, len(r.facets))}
	for i := range r.facets {
		for b := range colour.Bands {
			r.facets[i].prepare(p, b, &out.facet[i][b])
		}
	}
	return out
}

// Gloss is what the film's surface adds to every band: its own reflection as
// far as the geometry sees it. Where that is only what goes sideways, it is never
// less than bare skin's.
func (r *Reader) Gloss(g *Under) float64 {
	if r.way == colour.DI {
		return r.gloss
	}
	return max(r.gloss, r.skin*g.Mirror)
}

// workspace is a band's room, kept on the stack.
type workspace struct {
	band
	by coefficients
}

// mix is the one place where powders become a film.
func (w *workspace) mix(viewed bool, facet, band int, powders []*Prepared, mass []float64) {
	w.k = coefficients{}
	for i, p := range powders {
		k := &p.facet[facet][band]
		m := mass[i]
		for j := range diffuseEnd {
			w.k[j] += m * k[j]
		}
		if viewed {
			for j := diffuseEnd; j < terms; j++ {
				w.k[j] += m * k[j]
			}
		}
	}
}

// read returns what is read of a film under one facet, and for derivatives
// leaves in w.by those by every coefficient.
func (r *Reader) read(w *workspace, facet, band int, ground float64, powders []*Prepared, mass []float64, derivatives bool) float64 {
	w.mix(r.facets[facet].view != nil, facet, band, powders, mass)
	reading := w.band.read(&r.facets[facet].boundary, ground)
	if derivatives {
		w.back(&w.by)
	}
	return reading
}

// byMass is the derivative by a powder's mass.
func (w *workspace) byMass(p *Prepared, viewed bool, facet, band int) float64 {
	k := &p.facet[facet][band]
	sum := 0.0
	for j := range diffuseEnd {
		sum += w.by[j] * k[j]
	}
	if viewed {
		for j := diffuseEnd; j < terms; j++ {
			sum += w.by[j] * k[j]
		}
	}
	return sum
}

// Band returns the reading in one band of a film of these areal masses
// [mg/cm²] of these powders, gloss included, and where slopes is not nil fills
// it with the derivatives by each mass [cm²/mg]. It allocates nothing.
func (r *Reader) Band(band int, ground *Under, powders []*Prepared, mass, slopes []float64) float64 {
	reading := r.Gloss(ground)
	for i := range slopes {
		slopes[i] = 0
	}
	var w workspace
	for f := range r.facets {
		reading += r.read(&w, f, band, ground.Below[band], powders, mass, slopes != nil)
		for i := range slopes {
			slopes[i] += w.byMass(powders[i], r.facets[f].view != nil, f, band)
		}
	}
	return reading
}

// AllBands lists every band.
var AllBands = func() (list [colour.Bands]int) {
	for b := range list {
		list[b] = b
	}
	return list
}()

// Read fills out with the reading of a film in every band, and slopes, where it
// is not nil, with the derivatives by each mass, as Band does.
func (r *Reader) Read(out *colour.Spectrum, slopes []colour.Spectrum, ground *Under, powders []*Prepared, mass []float64) {
	r.ReadBands(AllBands[:], out, slopes, ground, powders, mass)
}

// ReadBands is Read in some bands; the others are left as they are.
func (r *Reader) ReadBands(bands []int, out *colour.Spectrum, slopes []colour.Spectrum, ground *Under, powders []*Prepared, mass []float64) {
	gloss := r.Gloss(ground)
	var w workspace
	for _, b := range bands {
		out[b] = gloss
		for i := range slopes {
			slopes[i][b] = 0
		}
		for f := range r.facets {
			out[b] += r.read(&w, f, b, ground.Below[b], powders, mass, slopes != nil)
			for i := range slopes {
				slopes[i][b] += w.byMass(powders[i], r.facets[f].view != nil, f, b)
			}
		}
	}
}

// Lean adds to by, for each of all powders, what a first trace of it would do to
// a weighted sum of the bands read of a film of these powders: Σ weight ∂R/∂m.
func (r *Reader) Lean(by []float64, weight *colour.Spectrum, ground *Under, powders []*Prepared, mass []float64, all []*Prepared) {
	var w workspace
	for b, v := range weight {
		if v == 0 {
			continue
		}
		for f := range r.facets {
			r.read(&w, f, b, ground.Below[b], powders, mass, true)
			for i, p := range all {
				by[i] += v * w.byMass(p, r.facets[f].view != nil, f, b)
			}
		}
	}
}
