package drawdown

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/leastsquares"
)

// Shift is how a new lot differs from the powder on record.
type Shift struct {
	// Strength is how much of the old powder one part of the new stands for:
	// 1.05 is 5 % stronger. Err is its standard error, from the readings'
	// noise and the drawdown's mass.
	Strength float64 `json:"strength"`
	Err      float64 `json:"strengthError"`
	DeltaE00 float64 `json:"deltaE00"` // of the drawdowns against the old powder, mean
	// Shade is what strength does not explain, mean over the readings at the
	// new strength.
	Shade  Shade          `json:"shade"`
	Powder palette.Optics `json:"-"` // the old powder at the new strength
}

// Shade is a difference of shade, new less old.
type Shade struct {
	DL       float64 `json:"dL"`
	DC       float64 `json:"dC"`
	DH       float64 `json:"dH"` // metric hue difference, + towards yellow from red
	DeltaE00 float64 `json:"deltaE00"`
}

// noShow is the change of reflectance, for a doubling or so of strength, below
// which a drawdown would look the same whatever the powder's strength.
const noShow = 1e-3

// CompareLot reads a new lot against the powder on record, from as little as
// one drawdown over one ground.
func CompareLot(old *palette.Optics, readings []Reading) (*Shift, error) {
	if len(readings) == 0 {
		return nil, fmt.Errorf("drawdown: no reading of the new lot")
	}
	obs, films, err := observe(old, readings)
	if err != nil {
		return nil, err
	}
	before := shadeOf(old, obs)
	x, information, err := strength(old, obs)
	if err != nil {
		return nil, err
	}
	s := &Shift{Strength: math.Exp(x), DeltaE00: before.DeltaE00}
	s.Powder = old.Scaled(s.Strength)
	s.Shade = shadeOf(&s.Powder, obs)
	// Films err independently; readings of one film share its error.
	mass := make([]float64, len(films))
	for _, o := range obs {
		mass[o.film] = o.Mass.Err / o.Mass.MgPerCM2
	}
	relative := 1 / information
	for _, e := range mass {
		relative += e * e / float64(len(films)*len(films))
	}
	s.Err = s.Strength * math.Sqrt(relative)
	return s, nil
}

// factors is the least squares problem of a lot's strength: ln of the factor
// of the old powder, one for all bands or one for each, that gives the
// readings.
type factors struct {
	old   *palette.Optics
	obs   []observation
	prior float64 // standard deviation of each; 0 for any size
}

// unknown is the factor of band j, of n.
func unknown(j, n int) int { return min(j, n-1) }

// Cost is half the sum of squares, in the readings' noise.
func (a *factors) Cost(x []float64) (cost float64, err error) {
	for i := range a.obs {
		o := &a.obs[i]
		for j := range o.Read {
			by := math.Exp(x[unknown(j, len(x))])
			r := o.reads(j, by*a.old.K[j], by*a.old.S[j])
			e := (o.Read[j] - r) / o.noise[j]
			cost += e * e / 2
		}
	}
	for _, v := range x {
		cost += v * v * a.stiff() / 2
	}
	return cost, nil
}

// stiff is the weight of a factor's own square.
func (a *factors) stiff() float64 {
	if a.prior == 0 {
		return 0
	}
	return 1 / (a.prior * a.prior)
}

// Normal is diagonal: no reading of a band tells of another's factor.
func (a *factors) Normal(x, g []float64, h *mat.SymDense) error {
	h.Zero()
	for i, v := range x {
		g[i] = v * a.stiff()
		h.SetSym(i, i, a.stiff())
	}
	for i := range a.obs {
		o := &a.obs[i]
		for j := range o.Read {
			n := unknown(j, len(x))
			by := math.Exp(x[n])
			r, _, _, dm := o.at(j, by*a.old.K[j], by*a.old.S[j])
			e, d := (o.Read[j]-r)/o.noise[j], dm/o.noise[j]
			g[n] -= e * d
			h.SetSym(n, n, h.At(n, n)+d*d)
		}
	}
	return nil
}

// strength returns ln of the factor that fits the old powder to the readings,
// and the Fisher information of it.
func strength(old *palette.Optics, obs []observation) (x, information float64, err error) {
	most := 0.0
	for i := range obs {
		o := &obs[i]
		for j := range o.Read {
			_, _, _, dm := o.at(j, old.K[j], old.S[j])
			most = max(most, math.Abs(dm))
		}
	}
	if most < noShow {
		return 0, 0, fmt.Errorf("drawdown: at this load and over this ground the powder's strength does not show; draw over a ground of another shade, or another load")
	}
	f := factors{old: old, obs: obs}
	var w leastsquares.Workspace
	at, g, h := []float64{0}, []float64{0}, mat.NewSymDense(1, nil)
	if _, err := w.Minimise(&f, at, leastsquares.Settings{Longest: 1, Damping: 1e-9, Gain: 1e-15}); err != nil {
		return 0, 0, err
	}
	if err := f.Normal(at, g, h); err != nil {
		return 0, 0, err
	}
	return at[0], h.At(0, 0) * independent / colour.Bands, nil
}

// bandPrior is how far, relative, a lot may differ in one band beyond its
// strength before the film's own noise is the likelier reason (guess).
const bandPrior = 0.3

// Bandwise scales K and S of each band together until they give the films, held
// to the lot's overall strength where the films say little.
func Bandwise(old *palette.Optics, strength float64, readings []Reading) (p palette.Optics, err error) {
	p = old.Scaled(strength)
	obs, _, err := observe(old, readings)
	if err != nil {
		return p, err
	}
	f := factors{old: &p, obs: obs, prior: bandPrior}
	x := make([]float64, colour.Bands)
	var w leastsquares.Workspace
	if _, err := w.Minimise(&f, x, leastsquares.Settings{Longest: 0.3, Damping: 1e-9, Gain: 1e-15}); err != nil {
		return p, err
	}
	for j, v := range x {
		p.K[j] *= math.Exp(v)
		p.S[j] *= math.Exp(v)
	}
	return p, nil
}

// shadeOf returns the mean difference of the readings from what p gives.
func shadeOf(p *palette.Optics, obs []observation) (d Shade) {
	n := float64(len(obs))
	for i := range obs {
		r := obs[i].residual(p)
		d.DeltaE00 += r.DeltaE00 / n
		d.DL += (r.Read.L - r.Model.L) / n
		c, e := r.Read.LCh(), r.Model.LCh()
		d.DC += (c.C - e.C) / n
		d.DH += 2 * math.Sqrt(c.C*e.C) * math.Sin((c.H-e.H)*math.Pi/360) / n
	}
	return d
}
