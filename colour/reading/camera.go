package reading

import (
	"math"

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

// linearToXYZ is linear sRGB to XYZ, Y = 1 (IEC 61966-2-1, from its primaries
// and white to full precision).
var linearToXYZ = [3][3]float64{
	{0.41239079926595948, 0.35758433938387796, 0.18048078840183429},
	{0.21263900587151036, 0.71516867876775593, 0.072192315360733715},
	{0.019330818715591851, 0.11919477979462599, 0.95053215224966058},
}

// lit is a colour on its way through the camera.
type lit struct {
	raised [3]float64 // e after bending, 0 below black
	light  [3]float64 // tone(c)·e^(−g·(u, v))
	out    [3]float64 // linear sRGB
	xyz    colour.XYZ
	lab    colour.Lab
}

// through takes linear light rgb seen at (u, v) to its colour.
func (c *camera) through(rgb [3]float64, u, v float64) (l lit) {
	p := &c.at
	dim := math.Exp(-p[slopeAt]*u - p[slopeAt+1]*v)
	for i := range l.light {
		l.light[i], l.raised[i] = tone(rgb[i], p[contrast], p[bending])
		l.light[i] *= dim
	}
	k := mixing
	for i := range l.out {
		sum := l.light[i]
		for j := range l.light {
			if j != i {
				sum += p[k] * l.light[j]
				k++
			}
		}
		l.out[i] = math.Exp(p[tint+i]) * sum
	}
	var x [3]float64
	for i := range x {
		x[i] = 100 * (linearToXYZ[i][0]*l.out[0] + linearToXYZ[i][1]*l.out[1] + linearToXYZ[i][2]*l.out[2])
	}
	l.xyz = colour.XYZ{X: x[0], Y: x[1], Z: x[2]}
	l.lab = colour.D65.LabOf(l.xyz)
	return l
}

// lab is the colour of linear light rgb seen at (u, v).
func (c *camera) lab(rgb [3]float64, u, v float64) colour.Lab { return c.through(rgb, u, v).lab }

// slopes returns the derivatives of W·Lab by every unknown.
func (c *camera) slopes(l *lit, rgb [3]float64, u, v float64, w *[3][3]float64) (j [3][unknowns]float64) {
	p := &c.at
	var out [3][unknowns]float64 // derivatives of linear sRGB
	k := mixing
	for i := range 3 {
		gain := math.Exp(p[tint+i])
		out[i][tint+i] = l.out[i]
		out[i][slopeAt] = -u * l.out[i]
		out[i][slopeAt+1] = -v * l.out[i]
		for h := range 3 {
			share := gain
			if h != i {
				share *= p[k]
				out[i][k] = gain * l.light[h]
				k++
			}
			if e := l.raised[h]; e > 0 {
				before := math.Pow(rgb[h], 1/2.2)
				out[i][contrast] += share * l.light[h] * 2.2 * math.Log(e)
				out[i][bending] += share * l.light[h] * 2.2 * (1 + p[contrast]) * before * (1 - before) * (1 - 2*before) / e
			}
		}
	}
	slope := colour.D65.LabSlope(l.xyz)
	// W · dLab/dXYZ · dXYZ/dRGB, then by the unknowns.
	var lx, wr [3][3]float64
	for a := range 3 {
		for b := range 3 {
			for h := range 3 {
				lx[a][b] += 100 * slope[a][h] * linearToXYZ[h][b]
			}
		}
	}
	for a := range 3 {
		for b := range 3 {
			for h := range 3 {
				wr[a][b] += w[a][h] * lx[h][b]
			}
		}
	}
	for a := range 3 {
		for q := range unknowns {
			j[a][q] = wr[a][0]*out[0][q] + wr[a][1]*out[1][q] + wr[a][2]*out[2][q]
		}
	}
	return j
}

// tone straightens a bent tone curve: g is γ − 1. raised is e after bending, 0
// below black, where only noise is left and is left a straight line.
func tone(c, g, k float64) (light, raised float64) {
	if c <= 0 {
		return c, 0
	}
	e := math.Pow(c, 1/2.2)
	if e += k * e * (1 - e) * (1 - 2*e); e <= 0 {
		return 0, 0
	}
	return math.Pow(e, 2.2*(1+g)), e
}

// lightAt returns the light at (u, v) relative to the middle of the photo.
func (c *camera) lightAt(u, v float64) float64 {
	return math.Exp(c.at[slopeAt]*u + c.at[slopeAt+1]*v)
}

// se returns the standard error, in ΔE00, that the camera's own uncertainty
// gives a colour seen as rgb at (u, v).
func (c *camera) se(rgb [3]float64, u, v float64) float64 {
	l := c.through(rgb, u, v)
	w := ellipsoid(l.lab)
	j := c.slopes(&l, rgb, u, v, &w)
	total := 0.0
	for i := range 3 {
		for a := range unknowns {
			for b := range unknowns {
				total += j[i][a] * c.covariance[a][b] * j[i][b]
			}
		}
	}
	return math.Sqrt(math.Max(total, 0))
}
