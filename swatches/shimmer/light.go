package shimmer

import (
	"math"

	"tawny/blend/film"
	"tawny/colour"
)

// light is a film under a scene's lights, its spectra as an eye sees them:
// whatever is linear in them is worked out in linear sRGB.
type light struct {
	scene         Scene
	exposure      float64
	film          *film.Film
	gloss         Gloss // as wide as the lamp shows it
	reading, even rgb
	white         rgb       // of what mirrors every colour alike
	twice         rgb       // the reading lit by its like
	blur          film.Blur // of skin that lies flat
	flakes        []Flakes
	localDeg      [3]float64
	beams         [][3]rgb // of each powder, by angle
}

func newLight(f *Film, s Scene, v *colour.Viewing, wide *film.Film) *light {
	e := newEye(v, !s.OwnColour)
	one, twice := colour.Constant(1), f.Reading
	for i := range twice {
		twice[i] *= twice[i]
	}
	l := &light{
		scene: s, exposure: s.exposure(), film: wide, gloss: f.Gloss, flakes: f.Flakes, localDeg: f.LocalDeg,
		reading: e.see(&f.Reading), even: e.see(&f.Even), white: e.see(&one), twice: e.see(&twice),
		blur: wide.NewBlur(s.LampDeg, across(s.LightDeg).z, across(s.EyeDeg).z),
	}
	l.gloss.Slope = widened(l.gloss.Slope, s.LampDeg, 1)
	if s.Flat {
		l.gloss = Gloss{}
	}
	for _, k := range f.Flakes {
		l.beams = append(l.beams, [3]rgb{e.see(&k.Beams[0]), e.see(&k.Beams[1]), e.see(&k.Beams[2])})
	}
	return l
}

// point is skin of one normal: the light of it without its flakes, and of each
// powder the mean light and the glints on a cm² of the picture.
type point struct {
	base  rgb
	kinds []glints
}

type glints struct {
	light  rgb
	perCM2 float64
}

// at returns the look of skin whose normal leans so far to the top.
func (l *light) at(deg float64) point {
	p := point{kinds: make([]glints, len(l.flakes))}
	s := l.scene
	normal := across(deg)
	add(&p.base, l.reading, l.exposure*s.FillShare*s.fillAt(normal))
	add(&p.base, l.twice, s.bounceOn(normal))
	g, lit := geometry(normal, across(s.LightDeg), across(s.EyeDeg), l.film, l.gloss)
	if !lit || s.FillShare == 1 {
		return p
	}
	key := l.exposure * s.keyOn(normal)
	add(&p.base, l.even, key*g.ti/(1-colour.Fresnel(l.film.Index, math.Sqrt2/2))*g.to/(1-colour.Fresnel(l.film.Index, 1)))
	add(&p.base, l.white, key*g.mirror)
	for k := range l.flakes {
		add(&p.kinds[k].light, l.beamAt(k, g.localDeg), key*g.weight)
		p.kinds[k].perCM2 = l.flakes[k].PerCM2 * g.chance * l.film.NewBlur(s.LampDeg, g.ci, g.co).Omega(l.flakes[k].Size) / g.co
	}
	return p
}

// beamAt is a powder's beam at a local angle, linear between those given and
// the nearest beyond them.
func (l *light) beamAt(k int, localDeg float64) (c rgb) {
	i, j, t := colour.Place(localDeg, len(l.localDeg), func(n int) float64 { return l.localDeg[n] })
	add(&c, l.beams[k][i], 1-t)
	add(&c, l.beams[k][j], t)
	return c
}

// eye turns a spectrum into linear sRGB as seen under a viewing: X, Y, Z, carried
// to D65 by colour.Adapt where eyes are used to the light, then to sRGB's primaries
// (IEC 61966-2-1). All of it is linear, so it is one weight for each band and
// channel.
type eye struct{ weights [3]colour.Spectrum }

func newEye(v *colour.Viewing, used bool) *eye {
	w := v.Weights()
	// The columns of the whole linear map, from its action on X, Y and Z.
	var column [3][3]float64
	for i, unit := range [3]colour.XYZ{{X: 1}, {Y: 1}, {Z: 1}} {
		if used {
			unit = colour.Adapt(unit, v.White(), colour.D65.White())
		}
		column[i] = unit.LinearRGB()
	}
	e := &eye{}
	for ch := range e.weights {
		for b := range e.weights[ch] {
			for i := range column {
				e.weights[ch][b] += column[i][ch] * w[i][b]
			}
		}
	}
	return e
}

func (e *eye) see(s *colour.Spectrum) (c rgb) {
	for ch := range c {
		for b, v := range s {
			c[ch] += e.weights[ch][b] * v
		}
	}
	return c
}
