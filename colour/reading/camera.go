package reading

import (
	"math"

	"github.com/lucasb-eyer/go-colorful"

	"tawny/colour"
)

// The camera, as far as a photo can tell. For a patch stored as linear light c
// (by the photo's own tone curve) at (u, v), in frames from the middle,
//
//	colour = N · tone(c) · e^(−(g_u u + g_v v)),   N = diag(e^d) · (I + X)
//	tone(c) = (e + k e (1−e)(1−2e))^(2.2 γ),       e = c^(1/2.2)
//
// d: exposure and tint of each channel; X: mixing between the channels, six
// off-diagonal numbers; g: the light's slope across the photo; γ and k:
// contrast and the S that telephones bend tones into. All thirteen are found
// together, by least squares in units of ΔE00, since each one left out is paid
// for by the others.
//
// What the patches do not settle is held by a prior: a plausible spread about
// "no mixing, even light, no bending". It keeps few patches from being fitted
// with nonsense, and its share of the posterior covariance is the honest
// error of, say, a lone grey card.
const (
	tint     = 0  // d, 3
	mixing   = 3  // X, 6
	slopeAt  = 9  // g, 2
	contrast = 11 // γ − 1
	bending  = 12 // k
	unknowns = 13
)

// model is how much of the camera the patches can settle.
type model int

const (
	balance model = iota // white balance: exposure and tint
	full                 // 3 × 3
)

func (m model) String() string {
	if m == full {
		return "3 × 3"
	}
	return "white balance"
}

// camera is a fitted set of unknowns.
type camera struct {
	at         [unknowns]float64
	model      model
	covariance [unknowns][unknowns]float64
	misfit     float64 // sum of squares of the patches' residuals, in their own errors
	scatter    float64 // factor by which residuals pass what was expected, at least 1
}

// lab is the colour of linear light rgb seen at (u, v).
func (c *camera) lab(rgb [3]float64, u, v float64) colour.Lab {
	p := &c.at
	dim := math.Exp(-p[slopeAt]*u - p[slopeAt+1]*v)
	var light, out [3]float64
	for i := range light {
		light[i] = dim * tone(rgb[i], p[contrast], p[bending])
	}
	k := mixing
	for i := range out {
		out[i] = light[i]
		for j := range light {
			if j != i {
				out[i] += p[k] * light[j]
				k++
			}
		}
		out[i] *= math.Exp(p[tint+i])
	}
	x, y, z := colorful.LinearRgbToXyz(out[0], out[1], out[2])
	return colour.D65.LabOf(colour.XYZ{X: 100 * x, Y: 100 * y, Z: 100 * z})
}

// tone straightens a bent tone curve: g is γ − 1. Below black only noise is left,
// and is left a straight line.
func tone(c, g, k float64) float64 {
	if c <= 0 {
		return c
	}
	e := math.Pow(c, 1/2.2)
	if e += k * e * (1 - e) * (1 - 2*e); e <= 0 {
		return 0
	}
	return math.Pow(e, 2.2*(1+g))
}

// lightAt returns the light at (u, v) relative to the middle of the photo.
func (c *camera) lightAt(u, v float64) float64 {
	return math.Exp(c.at[slopeAt]*u + c.at[slopeAt+1]*v)
}

// se returns the standard error, in ΔE00, that the camera's own uncertainty
// gives a colour seen as rgb at (u, v).
func (c *camera) se(rgb [3]float64, u, v float64) float64 {
	at := c.lab(rgb, u, v)
	w := colour.Ellipsoid00(at)
	var j [3][unknowns]float64 // of W·Lab
	const step = 1e-6
	for q := range unknowns {
		moved := *c
		moved.at[q] += step
		l := moved.lab(rgb, u, v)
		for i := range j {
			j[i][q] = (w[i][0]*(l.L-at.L) + w[i][1]*(l.A-at.A) + w[i][2]*(l.B-at.B)) / step
		}
	}
	total := 0.0
	for i := range j {
		for a := range unknowns {
			for b := range unknowns {
				total += j[i][a] * c.covariance[a][b] * j[i][b]
			}
		}
	}
	return math.Sqrt(math.Max(total, 0))
}
