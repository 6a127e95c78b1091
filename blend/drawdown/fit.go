package drawdown

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/leastsquares"
)

// Fit is a powder found from readings, with all there is to judge it by.
type Fit struct {
	Powder    palette.Optics     `json:"-"`         // what it was said to be like with the K and S that were found, without its coat where that misled
	K, S      Range              `json:"-"`         // 95 % bands around Powder's K and S, cm²/mg
	RatioOnly [colour.Bands]bool `json:"ratioOnly"` // where K and S apart are a guess: the film hides its ground
	Films     []FilmMass         `json:"films"`
	Readings  []Residual         `json:"-"`
	// Chi2 is the mean square of the residuals in standard errors per degree
	// of freedom: about 1 where noise explains them all, 0 where no reading
	// is left over to tell.
	Chi2    float64 `json:"chi2"`
	Mean    float64 `json:"residualDeltaE00"` // of the residuals, mean
	Worst   float64 `json:"worstDeltaE00"`    // the same, largest
	WorstAt int     `json:"-"`                // number of that reading, from 0
	// Doubt is the ΔE00 by which a film like the heaviest, over black or white,
	// may differ with K and S within their 95 % bands, whichever moves it most; math.MaxFloat64 where nothing is known.
	Doubt   float64  `json:"doubtDeltaE00"`
	Verdict Verdict  `json:"verdict"`
	Reasons []string `json:"why"` // in plain words
}

// Range is a 95 % confidence band by wavelength, from the linearised
// covariance: readings' noise (never taken smaller than stated, and larger
// where the residuals are) and the films' masses.
type Range struct{ Lo, Hi colour.Spectrum }

// FilmMass is a film's areal mass as stated and as the readings together would
// have it. A common error of all masses cannot be seen, and is in the bands.
type FilmMass struct {
	Name string  `json:"film"`
	Mass         // as given
	Seen float64 `json:"seenMgCm2"` // mg/cm²
	Off  float64 `json:"-"`         // (Seen − MgPerCM2) in standard errors; 0 when stated as exact
}

// Residual is how a reading differs from what the fitted powder gives.
type Residual struct {
	Read     colour.Lab `json:"read"`
	Model    colour.Lab `json:"model"`
	DeltaE00 float64    `json:"deltaE00"`
}

// z95 is the two-sided 95 % point of the normal distribution.
const z95 = 1.959964

// ErrTooFew means the readings cannot separate absorption from scattering.
var ErrTooFew = errors.New("one reading cannot tell absorption from scattering; read the film over a second ground or draw a second load")

// FitPowder fits K and S in every band to all readings at once, with K and S
// not negative and each film's mass free within its stated error.
//
// Given the masses the bands are apart, two unknowns each; the masses are then
// moved by Gauss–Newton on what is left (variable projection).
//
// like is what the powder is and how what it does goes by direction: flakes,
// perhaps of a known coat, or grains. Its K and S are not read. Nil is grains
// that scatter alike every way.
func FitPowder(readings []Reading, like *palette.Optics) (*Fit, error) {
	if len(readings) < 2 {
		return nil, fmt.Errorf("drawdown: %w", ErrTooFew)
	}
	if like == nil {
		like = &palette.Optics{}
	}
	obs, films, err := observe(like, readings)
	if err != nil {
		return nil, err
	}
	if !differ(obs) {
		return nil, fmt.Errorf("drawdown: all readings are of one load over one ground: %w", ErrTooFew)
	}
	w, err := fitted(obs, len(films), like)
	if err != nil {
		return nil, err
	}
	found := w.result(films)
	if len(like.R) == 0 || found.Chi2 <= 1 {
		return found, nil
	}
	// A coat far from the powder's own turns the readings of one angle into others,
	// and is then worse than none.
	plain := *like
	plain.R, plain.T = nil, nil
	if obs, _, err = observe(&plain, readings); err != nil {
		return nil, err
	}
	without, err := fitted(obs, len(films), &plain)
	if err != nil || without.total() > w.total()-unlikely {
		return found, nil
	}
	found = without.result(films)
	found.worse(WithCare, "flakes that reflect alike at every angle explain the readings better than the powder it is said to be like; how it turns with the angle is left open, and a nearer powder after like would tell")
	return found, nil
}

// unlikely is by how much a like's cost must pass that of none for it to be given
// up: two standard errors.
const unlikely = 2

// fitted is the work done for one like.
func fitted(obs []observation, films int, like *palette.Optics) (*work, error) {
	w := newWork(obs, films, like)
	w.start()
	return w, w.run()
}

// differ reports whether loads or grounds differ by more than a per cent.
func differ(obs []observation) bool {
	for _, o := range obs[1:] {
		if math.Abs(o.m-obs[0].m) > 0.01*obs[0].m {
			return true
		}
		if colour.RMS(&o.under.Below, &obs[0].under.Below) > 0.01 {
			return true
		}
	}
	return false
}

// band is the state of one band: its unknowns and the normal matrices of its
// linearisation there, readings weighted by their noise.
type band struct {
	p    [2]float64    // K, S per mass
	a    [2][2]float64 // Jᵀ J
	b    [][2]float64  // Jᵀ × (derivative in each film's ln m)
	cost float64       // ½ Σ (residual/noise)²
	g    []float64     // descent slope in each film's ln m
	c    []float64     // Σ (derivative in ln m)² of each film
}

type work struct {
	obs     []observation
	films   int
	like    *palette.Optics
	given   []float64 // masses as stated
	tau     []float64 // relative error of each; 0 is exact
	delta   []float64 // ln of mass believed over given
	bands   [colour.Bands]band
	settled bool // the bands rest at delta
	inBand  leastsquares.Workspace
	cov     *mat.SymDense // of delta, over the films in free
	free    []int
	// spread holds two standard errors of (K, S) a band: K's, with S following
	// as the readings tie them, and S's, with K following.
	spread [colour.Bands][2][2]float64
}

func newWork(obs []observation, films int, like *palette.Optics) *work {
	w := &work{obs: obs, films: films, like: like,
		given: make([]float64, films), tau: make([]float64, films), delta: make([]float64, films)}
	for _, o := range obs {
		w.given[o.film] = o.Mass.MgPerCM2
		w.tau[o.film] = o.Mass.Err / o.Mass.MgPerCM2
	}
	for f, t := range w.tau {
		if t > 0 {
			w.free = append(w.free, f)
		}
	}
	for j := range w.bands {
		w.bands[j].b = make([][2]float64, films)
		w.bands[j].g = make([]float64, films)
		w.bands[j].c = make([]float64, films)
	}
	return w
}

// start puts each band at the lowest of the valleys that lie below a coarse grid,
// so that no first guess is asked for. Films over one ground have several: a
// powder that scatters nothing and absorbs a little otherwise looks much alike.
func (w *work) start() {
	typical := 0.0
	for _, m := range w.given {
		typical += math.Log(m) / float64(w.films)
	}
	typical = math.Exp(typical)
	for j := range w.bands {
		least, lowest := math.Inf(1), [2]float64{}
		// Films from almost clear to quite opaque.
		for s := 2e-4 / typical; s < 30/typical; s *= 6.25 {
			best, from := math.Inf(1), [2]float64{}
			for k := 2e-4 / typical; k < 30/typical; k *= 2.5 {
				if c := w.costAt(j, k, s); c < best {
					best, from = c, [2]float64{k, s}
				}
			}
			if c, p := w.descend(j, from, 1e-3); c < least {
				least, lowest = c, p
			}
		}
		w.bands[j].p = lowest
	}
}

func (w *work) costAt(j int, k, s float64) float64 {
	sum := 0.0
	for i := range w.obs {
		o := &w.obs[i]
		e := (o.Read[j] - o.reads(j, k, s)) / o.noise[j]
		sum += e * e / 2
	}
	return sum
}

// linearise fills the normal matrices of band j at its present point.
func (w *work) linearise(j int) (h [2]float64) {
	b := &w.bands[j]
	b.a, b.cost = [2][2]float64{}, 0
	clear(b.b)
	clear(b.g)
	clear(b.c)
	for i := range w.obs {
		o := &w.obs[i]
		r, dk, ds, dm := o.at(j, b.p[0], b.p[1])
		n := 1 / o.noise[j]
		e := (o.Read[j] - r) * n
		d := [2]float64{dk * n, ds * n}
		dm *= n
		b.cost += e * e / 2
		for x := range d {
			h[x] += d[x] * e
			for y := range d {
				b.a[x][y] += d[x] * d[y]
			}
			b.b[o.film][x] += d[x] * dm
		}
		b.g[o.film] += dm * e
		b.c[o.film] += dm * dm
	}
	return h
}

// bandFit is band j's own least squares problem: K and S for the present masses.
type bandFit struct {
	*work
	j int
}

// Cost is half the sum of squares of band j.
func (t bandFit) Cost(p []float64) (float64, error) { return t.costAt(t.j, p[0], p[1]), nil }

// Normal linearises the band at p.
func (t bandFit) Normal(p, g []float64, h *mat.SymDense) error {
	at := &t.bands[t.j]
	copy(at.p[:], p)
	slope := t.linearise(t.j)
	for x := range slope {
		g[x] = -slope[x]
		for y := range x + 1 {
			h.SetSym(x, y, at.a[x][y])
		}
	}
	return nil
}

// descend walks band j from p to the least cost nearby for the present masses, K
// and S not negative, until a step gains no more than such a share.
func (w *work) descend(j int, p [2]float64, gain float64) (float64, [2]float64) {
	// No error can come of a band's problem, which has none.
	cost, _ := w.inBand.Minimise(bandFit{w, j}, p[:], leastsquares.Settings{Low: []float64{0, 0}, Damping: 1e-6, Least: 1e-14, Gain: gain})
	return cost, p
}

// settle walks band j down from where it is and leaves it linearised there.
func (w *work) settle(j int) {
	b := &w.bands[j]
	_, b.p = w.descend(j, b.p, 1e-15)
	w.linearise(j)
}

// total is the cost of everything: the bands' by how independent they are, and
// the masses' own.
func (w *work) total() float64 {
	sum := 0.0
	for j := range w.bands {
		sum += w.bands[j].cost
	}
	sum *= float64(independent) / colour.Bands
	for _, f := range w.free {
		d := w.delta[f] / w.tau[f]
		sum += d * d / 2
	}
	return sum
}

func (w *work) settleAll() {
	for i := range w.obs {
		o := &w.obs[i]
		o.m = w.given[o.film] * math.Exp(w.delta[o.film])
	}
	for j := range w.bands {
		w.settle(j)
	}
}

// run moves the masses until they rest.
func (w *work) run() error {
	x := make([]float64, len(w.free))
	var outer leastsquares.Workspace
	if _, err := outer.Minimise(massFit{w}, x, leastsquares.Settings{Damping: 1e-9, Gain: 1e-14, Steps: 60}); err != nil {
		return err
	}
	w.move(x)
	if len(w.free) == 0 {
		return nil
	}
	h := mat.NewSymDense(len(x), nil)
	if err := (massFit{w}).Normal(x, make([]float64, len(x)), h); err != nil {
		return err
	}
	var chol mat.Cholesky
	if !chol.Factorize(h) {
		return errors.New("drawdown: the films' masses cannot be reconciled with the readings; check the masses and their errors")
	}
	w.cov = mat.NewSymDense(len(x), nil)
	if err := chol.InverseTo(w.cov); err != nil {
		return fmt.Errorf("drawdown: solving for the films' masses: %w", err)
	}
	return nil
}

// move takes the free films' masses to x, ln of each over the one given, and
// lets the bands follow.
func (w *work) move(x []float64) {
	same := w.settled
	for i, f := range w.free {
		same = same && w.delta[f] == x[i]
		w.delta[f] = x[i]
	}
	if !same {
		w.settleAll()
	}
	w.settled = true
}

// massFit is the least squares problem of the free films' ln m, the bands'
// unknowns following (variable projection).
type massFit struct{ *work }

// Cost is total at the masses x.
func (m massFit) Cost(x []float64) (float64, error) {
	m.move(x)
	return m.total(), nil
}

// Normal is that of the whole problem with the bands' unknowns eliminated.
func (m massFit) Normal(x, g []float64, h *mat.SymDense) error {
	m.move(x)
	share := float64(independent) / colour.Bands
	for i, f := range m.free {
		prior := 1 / (m.tau[f] * m.tau[f])
		diagonal := prior
		g[i] = m.delta[f] * prior
		for j := range m.bands {
			diagonal += share * m.bands[j].c[f]
			g[i] -= share * m.bands[j].g[f]
		}
		for k := range i {
			h.SetSym(i, k, 0)
		}
		h.SetSym(i, i, diagonal)
	}
	for j := range m.bands {
		inv := m.bands[j].inverse()
		for i, f := range m.free {
			for k, e := range m.free[:i+1] {
				h.SetSym(i, k, h.At(i, k)-share*quadratic(inv, m.bands[j].b[f], m.bands[j].b[e]))
			}
		}
	}
	return nil
}

// inverse returns the inverse of a over the unknowns that are free to move,
// with zeros for one held at 0. Where readings say nothing of some direction
// it is large there, but finite.
func (b *band) inverse() (inv [2][2]float64) {
	a := b.a
	switch {
	case b.p[0] == 0 && b.p[1] == 0:
		return inv
	case b.p[0] == 0:
		inv[1][1] = 1 / a[1][1]
		return inv
	case b.p[1] == 0:
		inv[0][0] = 1 / a[0][0]
		return inv
	}
	return inverse2(a)
}

// inverse2 inverts a symmetric 2×2 matrix, keeping it finite and positive where
// rounding has made it singular.
func inverse2(a [2][2]float64) [2][2]float64 {
	const least = 1e-13
	det := max(a[0][0]*a[1][1]-a[0][1]*a[1][0], least*a[0][0]*a[1][1])
	return [2][2]float64{{a[1][1] / det, -a[0][1] / det}, {-a[1][0] / det, a[0][0] / det}}
}

func quadratic(m [2][2]float64, u, v [2]float64) float64 {
	return u[0]*(m[0][0]*v[0]+m[0][1]*v[1]) + u[1]*(m[1][0]*v[0]+m[1][1]*v[1])
}
