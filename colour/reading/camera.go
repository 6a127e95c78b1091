package reading

import (
	"math"

	"gonum.org/v1/gonum/mat"

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

// prior holds one standard deviation for each unknown.
type prior [unknowns]float64

const (
	// Exposure and tint may be anything.
	looseTint = 10
	// A telephone's sRGB still mixes its channels by some per cent (guessed
	// from the residual errors of 3–6 ΔE that white balance alone leaves,
	// common practice). Where at least four patches settle a full 3 × 3, the
	// prior is made so loose that it is plain least squares.
	usualMixing = 0.06
	looseMixing = 3
	// Window light falls by up to a half over an arm's length (guessed).
	usualSlope = 0.4
	// Bent tone curves (guessed); loose enough that a few greys override them.
	// A k of 0.25 moves the quarter tones by 2.4 % of full scale.
	usualContrast = 0.05
	usualBending  = 0.25
)

func (m model) prior() (p prior) {
	for i := range p {
		switch {
		case i < mixing:
			p[i] = looseTint
		case i < slopeAt && m == full:
			p[i] = looseMixing
		case i < slopeAt:
			p[i] = usualMixing
		case i < contrast:
			p[i] = usualSlope
		case i == contrast:
			p[i] = usualContrast
		default:
			p[i] = usualBending
		}
	}
	return p
}

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

// worstCondition is the largest condition number of the known patches' linear
// colours, each scaled to one light, at which four or more settle a 3 × 3.
// Greys alone have an infinite one and a set of skin tones about 30; patches
// of six plain hues have 2 to 6. At 20 an error of 1 % in a patch is already
// 20 % in the least settled direction, more than the mixing it is to remove.
const worstCondition = 20

// condition returns the ratio of the largest to the smallest singular value.
func condition(patches []observed) float64 {
	m := mat.NewDense(max(len(patches), 3), 3, nil)
	for i, p := range patches {
		c := p.linear
		n := math.Sqrt(c[0]*c[0] + c[1]*c[1] + c[2]*c[2])
		m.SetRow(i, []float64{c[0] / n, c[1] / n, c[2] / n})
	}
	var svd mat.SVD
	if !svd.Factorize(m, mat.SVDNone) {
		return math.Inf(1)
	}
	s := svd.Values(nil)
	if s[2] <= 0 {
		return math.Inf(1)
	}
	return s[0] / s[2]
}

// observed is a known patch and what the photo shows of it.
type observed struct {
	known  Known
	stat   patchStat
	linear [3]float64 // known colour in linear sRGB
	weight [3][3]float64
	sigma  float64 // ΔE00
}

// floorSE is the error, in ΔE00, that a well-read patch in a photo keeps: its
// gloss, its own unevenness, the reading it is known by (common practice: two
// instruments differ by 0.3 to 0.5).
const floorSE = 0.5

func observe(k Known, s patchStat) observed {
	o := observed{known: k, stat: s, weight: ellipsoid(k.Lab)}
	o.linear[0], o.linear[1], o.linear[2] = colour.LinearSRGB(k.Lab)
	// As ΔE00: the relative error of the light is a third of that in L* + 16,
	// and S_L is near 1.
	noise := s.relativeSE() * (k.Lab.L + 16) / 3
	o.sigma = math.Sqrt(floorSE*floorSE + k.SE*k.SE + noise*noise)
	return o
}

// ellipsoid returns W such that |W·ΔLab| is ΔE00 near a colour, but for the
// rotation term, which only blues have (notation of Sharma et al. 2005).
func ellipsoid(c colour.Lab) (w [3][3]float64) {
	c7 := math.Pow(c.Chroma(), 7)
	g := 0.5 * (1 - math.Sqrt(c7/(c7+6103515625))) // 25⁷
	a := (1 + g) * c.A
	chroma, h := math.Hypot(a, c.B), math.Atan2(c.B, a)
	const deg = math.Pi / 180
	t := 1 - 0.17*math.Cos(h-30*deg) + 0.24*math.Cos(2*h) + 0.32*math.Cos(3*h+6*deg) - 0.20*math.Cos(4*h-63*deg)
	l := c.L - 50
	sl := 1 + 0.015*l*l/math.Sqrt(20+l*l)
	sc := 1 + 0.045*chroma
	sh := 1 + 0.015*chroma*t
	sin, cos := math.Sincos(h)
	return [3][3]float64{
		{1 / sl, 0, 0},
		{0, (1 + g) * cos / sc, sin / sc},
		{0, -(1 + g) * sin / sh, cos / sh},
	}
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

// slopeSpread is how far the slope of the light inside one patch may differ
// from the photo's, as a share of the light over the patch's own width: paper
// bends, ink varies (guessed).
const slopeSpread = 0.015

// enoughPlaces is the number of patches whose places tell the slope well
// enough. Few patches need the slopes inside them as well. A hard-pressed JPEG
// rounds those to none, which is a bias, so they are not asked needlessly.
const enoughPlaces = 4

func (o *observed) slopeTold(patches int) bool {
	return patches < enoughPlaces || o.stat.step[0] <= 0.5
}

// residuals fills r: three of ΔE00 a patch, two of slope where they are
// used, and one for each unknown's prior. It returns how many are patch
// colours. With a Jacobian it fills that too.
func (c *camera) residuals(patches []observed, p prior, r []float64, jacobian *mat.Dense) int {
	n := 0
	if jacobian != nil {
		jacobian.Zero()
	}
	for i := range patches {
		o := &patches[i]
		l := c.through(o.stat.rgb, o.stat.u, o.stat.v)
		d := [3]float64{l.lab.L - o.known.Lab.L, l.lab.A - o.known.Lab.A, l.lab.B - o.known.Lab.B}
		var j [3][unknowns]float64
		if jacobian != nil {
			j = c.slopes(&l, o.stat.rgb, o.stat.u, o.stat.v, &o.weight)
		}
		for k := range 3 {
			r[n] = (o.weight[k][0]*d[0] + o.weight[k][1]*d[1] + o.weight[k][2]*d[2]) / o.sigma
			if jacobian != nil {
				for q := range unknowns {
					jacobian.Set(n, q, j[k][q]/o.sigma)
				}
			}
			n++
		}
	}
	colours := n
	for i := range patches {
		o := &patches[i]
		if !o.slopeTold(len(patches)) {
			continue
		}
		for k, size := range [2]float64{o.stat.width, o.stat.height} {
			sigma := math.Hypot(o.stat.slopeSE[k], slopeSpread/size)
			r[n] = (o.stat.slope[k] - c.at[slopeAt+k]) / sigma
			if jacobian != nil {
				jacobian.Set(n, slopeAt+k, -1/sigma)
			}
			n++
		}
	}
	for i := range c.at {
		r[n] = c.at[i] / p[i]
		if jacobian != nil {
			jacobian.Set(n, i, 1/p[i])
		}
		n++
	}
	return colours
}

func residualCount(patches []observed) int {
	n := 3*len(patches) + unknowns
	for i := range patches {
		if patches[i].slopeTold(len(patches)) {
			n += 2
		}
	}
	return n
}

// fit finds the camera by Levenberg–Marquardt from start.
func fit(patches []observed, m model, start *camera) camera {
	p := m.prior()
	c := camera{model: m, scatter: 1}
	if start != nil {
		c.at = start.at
	} else {
		c.begin(patches)
	}
	n := residualCount(patches)
	r, trial := make([]float64, n), make([]float64, n)
	jacobian := mat.NewDense(n, unknowns, nil)
	var normal mat.SymDense
	var gradient, step mat.VecDense
	damped := mat.NewSymDense(unknowns, nil)
	var chol mat.Cholesky
	damping := 1e-3
	colours := c.residuals(patches, p, r, jacobian)
	cost := sumSquares(r)
	for range 60 {
		normal.Reset()
		normal.SymOuterK(1, jacobian.T())
		gradient.Reset()
		gradient.MulVec(jacobian.T(), mat.NewVecDense(n, r))
		better := false
		for range 12 {
			damped.CopySym(&normal)
			for i := range unknowns {
				damped.SetSym(i, i, normal.At(i, i)*(1+damping))
			}
			step.Reset()
			if !chol.Factorize(damped) || chol.SolveVecTo(&step, &gradient) != nil {
				damping *= 10
				continue
			}
			next := c
			for i := range next.at {
				next.at[i] -= step.AtVec(i)
			}
			next.residuals(patches, p, trial, nil)
			if s := sumSquares(trial); s < cost {
				better = cost-s > 1e-9*cost
				c, cost = next, s
				damping = math.Max(damping/8, 1e-9)
				break
			}
			damping *= 10
		}
		c.residuals(patches, p, r, jacobian)
		if !better {
			break
		}
	}
	c.misfit = sumSquares(r[:colours])
	return c
}

// begin sets exposure and tint from the patches' mean ratio, all else at rest.
func (c *camera) begin(patches []observed) {
	for k := range 3 {
		sum, weights := 0.0, 0.0
		for _, o := range patches {
			if o.linear[k] > 1e-4 && o.stat.rgb[k] > 1e-4 {
				w := 1 / (o.sigma * o.sigma)
				sum += w * math.Log(o.linear[k]/o.stat.rgb[k])
				weights += w
			}
		}
		if weights > 0 {
			c.at[tint+k] = sum / weights
		}
	}
}

// spread sets the covariance. Where the patches scatter more than their own
// errors explain, they are trusted less in proportion; the priors are not.
func (c *camera) spread(patches []observed) {
	p := c.model.prior()
	n := residualCount(patches)
	r := make([]float64, n)
	jacobian := mat.NewDense(n, unknowns, nil)
	colours := c.residuals(patches, p, r, jacobian)
	data := mat.NewSymDense(unknowns, nil)
	data.SymOuterK(1, jacobian.Slice(0, n-unknowns, 0, unknowns).T())
	inverse := func(scale float64) (*mat.SymDense, bool) {
		sum := mat.NewSymDense(unknowns, nil)
		for a := range unknowns {
			for b := a; b < unknowns; b++ {
				sum.SetSym(a, b, data.At(a, b)*scale)
			}
			sum.SetSym(a, a, sum.At(a, a)+1/(p[a]*p[a]))
		}
		var chol mat.Cholesky
		var inv mat.SymDense
		if !chol.Factorize(sum) || chol.InverseTo(&inv) != nil {
			return nil, false
		}
		return &inv, true
	}
	cov, ok := inverse(1)
	if !ok {
		c.scatter = math.Inf(1)
		return
	}
	var share mat.Dense // posterior covariance × data: its trace is how many numbers were fitted
	share.Mul(cov, data)
	if freedom := float64(colours) - mat.Trace(&share); freedom > 0.5 {
		c.scatter = math.Max(1, math.Sqrt(c.misfit/freedom))
	}
	if cov, ok = inverse(1 / (c.scatter * c.scatter)); !ok {
		c.scatter = math.Inf(1)
		return
	}
	for a := range unknowns {
		for b := range unknowns {
			c.covariance[a][b] = cov.At(a, b)
		}
	}
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

func sumSquares(v []float64) (s float64) {
	for _, x := range v {
		s += x * x
	}
	return s
}
