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
	at := c.at
	r := leastsquares.Residuals{Count: residualCount(patches), Analytic: true, At: func(x, r []float64, jacobian *mat.Dense) error {
		copy(at[:], x)
		(&camera{at: at, model: m}).residuals(patches, p, r, jacobian)
		return nil
	}}
	var w leastsquares.Workspace
	// No error can come of residuals that have none.
	w.Minimise(&r, c.at[:], leastsquares.Settings{Gain: 1e-9, Least: 1e-9, Steps: 60})
	list := make([]float64, r.Count)
	c.misfit = sumSquares(list[:c.residuals(patches, p, list, nil)])
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

func sumSquares(v []float64) (s float64) {
	for _, x := range v {
		s += x * x
	}
	return s
}
