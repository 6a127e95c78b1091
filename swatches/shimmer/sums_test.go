package shimmer

import (
	"image"
	"math"
)

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

// RGBA is the picture as a screen has it.
func (p *Picture) RGBA() *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, p.Width, p.Height))
	p.tone(litKnee)
	p.onto(m, 0)
	return m
}

// glintsPerCM2 returns how many flakes on each cm² of flat skin send the key
// light to the eye in the scene.
func glintsPerCM2(f *Film, s Scene) float64 {
	wide := math.Atan(widened(math.Tan(f.TiltDeg*degree), s.LampDeg, f.index())) / degree
	g, _ := geometry(vector{0, 0, 1}, across(s.LightDeg), across(s.EyeDeg), laid(f.index(), wide), Gloss{})
	sum := 0.0
	for _, k := range f.Flakes {
		sum += k.PerCM2 * g.chance * laid(f.index(), wide).NewBlur(s.LampDeg, g.ci, g.co).Omega(k.Size)
	}
	return sum
}

// aspecularEye returns the eye's angle, degrees from the normal towards the
// light, that stands the given aspecular angle from the mirror direction of a
// light at 45°, as multi-angle instruments count it (ASTM E2194): 15, 45 …
func aspecularEye(aspecularDeg float64) float64 { return aspecularDeg - 45 }

// measured is a flat patch under one light alone, seen as instruments of several
// angles do.
func measured(lampDeg, aspecularDeg float64) Scene {
	return Scene{Flat: true, LightDeg: 45, LampDeg: lampDeg, EyeDeg: aspecularEye(aspecularDeg)}
}

// counted is a picture with the glints that theory puts in it, and those that were
// drawn under this seed.
type counted struct {
	*Picture
	Expected, Drawn float64
}

// Render pictures a film with what is not said of it at its usual.
func Render(f *Film, s Scene, o Options) (counted, error) {
	o, err := o.filled()
	if err != nil {
		return counted{}, err
	}
	r := newRenderer(f, s, o)
	r.draw()
	c := counted{Picture: r.p}
	for _, row := range r.rows[r.edge : r.edge+o.Height] {
		for _, k := range row.kinds {
			inside := k.each * float64(o.Width) / float64(o.Width+2*r.edge)
			c.Expected += k.mean * inside
			c.Drawn += float64(k.glints) * inside
		}
	}
	return c, nil
}
