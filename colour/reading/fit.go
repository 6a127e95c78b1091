package reading

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"tawny/colour/leastsquares"
)

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

// residuals appends to r three of ΔE00 a patch, two of slope where they are
// used, and one for each unknown's prior.
func (c *camera) residuals(patches []observed, p prior, r []float64) []float64 {
	for i := range patches {
		o := &patches[i]
		l := c.lab(o.stat.rgb, o.stat.u, o.stat.v)
		for _, w := range o.weight {
			r = append(r, (w[0]*(l.L-o.known.Lab.L)+w[1]*(l.A-o.known.Lab.A)+w[2]*(l.B-o.known.Lab.B))/o.sigma)
		}
	}
	for i := range patches {
		o := &patches[i]
		if !o.slopeTold(len(patches)) {
			continue
		}
		for k, size := range [2]float64{o.stat.width, o.stat.height} {
			r = append(r, (o.stat.slope[k]-c.at[slopeAt+k])/math.Hypot(o.stat.slopeSE[k], slopeSpread/size))
		}
	}
	for i := range c.at {
		r = append(r, c.at[i]/p[i])
	}
	return r
}

// problem is the fit of the patches with its prior.
func (c *camera) problem(patches []observed) *leastsquares.Residuals {
	at, p := *c, c.model.prior()
	return &leastsquares.Residuals{Count: len(at.residuals(patches, p, nil)), At: func(x, r []float64) error {
		copy(at.at[:], x)
		at.residuals(patches, p, r[:0])
		return nil
	}}
}

// fit finds the camera by Levenberg–Marquardt from start.
func fit(patches []observed, m model, start *camera) camera {
	c := camera{model: m, scatter: 1}
	if start != nil {
		c.at = start.at
	} else {
		c.begin(patches)
	}
	r := c.problem(patches)
	var w leastsquares.Workspace
	// No error can come of residuals that have none.
	w.Minimise(r, c.at[:], leastsquares.Settings{Gain: 1e-9, Least: 1e-9, Steps: 60})
	list := make([]float64, r.Count)
	r.At(c.at[:], list)
	for _, v := range list[:3*len(patches)] {
		c.misfit += v * v
	}
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
	data := mat.NewSymDense(unknowns, nil)
	c.problem(patches).Normal(c.at[:], make([]float64, unknowns), data)
	for a := range unknowns {
		data.SetSym(a, a, data.At(a, a)-1/(p[a]*p[a]))
	}
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
	if freedom := float64(3*len(patches)) - mat.Trace(&share); freedom > 0.5 {
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
