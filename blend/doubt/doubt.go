package doubt

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/mathext"

	"tawny/blend/film"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/skin"
)

// Doubts says how far each thing a prediction rests on may be off: standard
// errors (one sigma), all independent. The zero Doubts has none.
type Doubts struct {
	Skin    []colour.Spectrum // one-sigma changes of the bare skin's reflectance, each on its own
	Apply   float64           // of the amount put on, relative
	Tilt    float64           // of the flakes' tilt, degrees
	Surface float64           // the most of that tilt that the surface may share in a film with flakes, all from 0 being as likely
	Haze    float64           // of the share of its surface's reflection skin throws sideways
	Weigh   float64           // of each powder's weight, % w/w of the product
	Powders map[*palette.Pigment]Powder
	Taken   map[string]string // what was assumed of a cause, in words, by its name
}

// Powder is how far one powder's data may be off, one sigma.
type Powder struct {
	Strength float64  // of K and S together, relative
	Changes  []Change // of K and S, each on its own
	// Residual is what K and S leave unexplained, the mean ΔE00 of the
	// drawdowns they were fitted to. It goes to the blend in proportion to the
	// powder's share, whole: part of it is the readings' noise, which is a
	// margin on the safe side.
	Residual float64
}

// Change is a change of one powder's optics, cm²/mg.
type Change struct{ K, S colour.Spectrum }

// Of returns optics changed by so many sigmas.
func (c *Change) Of(o *palette.Optics, by float64) palette.Optics {
	changed := *o
	for j := range c.K {
		changed.K[j] += by * c.K[j]
		changed.S[j] += by * c.S[j]
	}
	return changed
}

// Spread is how far a worn blend may lie from its prediction.
type Spread struct {
	Sigma      colour.Lab    `json:"sigmaLab"`              // standard errors of L*, a*, b*, what Residual adds left out
	Covariance [3][3]float64 `json:"-"`                     // of L*, a*, b*, likewise
	DeltaE95   float64       `json:"deltaE00At95"`          // 95 of 100 wearings lie within this ΔE00
	Causes     []Cause       `json:"causes"`                // largest first; those that add nothing left out
	StandIn    bool          `json:"skinStandIn,omitempty"` // the skin is no one's: how far a person's lies from it is not in this
}

// Cause is one source's part in a spread, as if it were the only one.
type Cause struct {
	Name     string  `json:"name"` // reading, application, tilt, surface tilt, haze, weighing or a powder's name
	DeltaE95 float64 `json:"deltaE00At95"`
	Taken    string  `json:"taken"` // what was assumed of it
}

// The causes' names, beside those of powders.
const (
	FromReading     = "reading"
	FromApplication = "application"
	FromTilt        = "tilt"
	FromSurface     = "surface tilt"
	FromHaze        = "haze"
	FromWeighing    = "weighing"
)

// Weighing is the standard error of a weight on a balance of steps, in % w/w
// of a batch: a reading is even within its step.
func Weighing(stepGrams, batchGrams float64) float64 {
	return 100 * stepGrams / math.Sqrt(12) / batchGrams
}

// Usual returns what is doubted of every worn blend, beside its powders, its
// weights and its skin's reading.
func Usual(w film.Worn) Doubts {
	const (
		// The amount one person puts on from one time to the next: about a quarter
		// (from memory of sunscreen use studies; between people it is several times
		// more).
		apply = 0.25
		// How well the tilt of the flakes is known for a coverage (guess: the tilts
		// are conventions).
		tilt = 2.0
	)
	return Doubts{Apply: apply, Tilt: min(tilt, w.Tilt/2), Surface: film.MostSurfaceShare, Haze: skin.HazeDoubt}
}

// Uncertainty propagates doubts through the prediction of w's diffuse colour.
//
// Each doubt moves the colour by a vector, half the difference between one
// sigma up and down, and their outer products add to a covariance C. Near the
// prediction ΔE00² = dᵀMd, so the square is a weighted sum of three χ² whose
// weights are the eigenvalues of MC. Its 95 % point is that of the scaled χ² of
// the same mean and variance (Satterthwaite, Biometrics Bull. 2:110, 1946),
// exact for one weight or three equal ones.
func Uncertainty(w film.Worn, d Doubts) (*Spread, error) {
	w, err := w.WithDefaults()
	if err != nil || w.Apply == 0 {
		return nil, fmt.Errorf("application %g mg/cm²; more than 0 and at most %g is accepted", w.Apply, film.MaxApply)
	}
	if !(d.Apply >= 0 && d.Apply < 1 && d.Tilt >= 0 && d.Tilt < 40 && d.Weigh >= 0 && d.Weigh < 100) {
		return nil, fmt.Errorf("doubts of %g (application), %g° (tilt), %g %% (weighing); 0 to below 1, 40 and 100 are accepted", d.Apply, d.Tilt, d.Weigh)
	}
	u, err := newDoubting(w)
	if err != nil {
		return nil, err
	}
	for i := range d.Skin {
		u.move(FromReading, func(w *film.Worn, by float64) {
			for j := range w.Ground.Reflectance {
				w.Ground.Reflectance[j] += by * d.Skin[i][j]
			}
		})
	}
	if d.Apply > 0 {
		u.move(FromApplication, func(w *film.Worn, by float64) { w.Apply *= 1 + by*d.Apply })
	}
	if d.Tilt > 0 {
		u.move(FromTilt, func(w *film.Worn, by float64) { w.Tilt = max(0.1, w.Tilt+by*d.Tilt) })
	}
	if d.Haze > 0 && (hazy(w.Ground.Geometry) || hazy(w.Geometry)) {
		u.move(FromHaze, func(w *film.Worn, by float64) { w.HazeOff += by * d.Haze })
	}
	load := film.LoadOf(w.Parts)
	if d.Surface > 0 && slices.ContainsFunc(w.Parts, func(p film.Part) bool { return p.Pigment.Optics.Flake }) {
		// What is taken may be an end of what can be, and gloss comes with the
		// square and more, so the mean square is taken over it all.
		for i, at := range [3]float64{(1 - math.Sqrt(0.6)) / 2, 0.5, (1 + math.Sqrt(0.6)) / 2} {
			u.reach(FromSurface, [3]float64{5. / 18, 8. / 18, 5. / 18}[i], func(w *film.Worn) { w.SurfaceShare = at * d.Surface })
		}
	}
	for i, p := range w.Parts {
		if d.Weigh > 0 {
			u.move(FromWeighing, func(w *film.Worn, by float64) { w.Parts[i].Percent += by * d.Weigh })
		}
		doubt := d.Powders[p.Pigment]
		if doubt.Strength > 0 {
			u.move(p.Pigment.Name, func(w *film.Worn, by float64) { w.Parts[i].Percent *= 1 + by*doubt.Strength })
		}
		for _, change := range doubt.Changes {
			u.move(p.Pigment.Name, func(w *film.Worn, by float64) {
				changed := *w.Parts[i].Pigment
				changed.Optics = change.Of(&changed.Optics, by)
				w.Parts[i].Pigment = &changed
			})
		}
		if doubt.Residual > 0 && load > 0 {
			// Three equal errors of this size have a mean length of r·share.
			s := doubt.Residual * p.Percent / load / math.Sqrt(8/math.Pi)
			u.cause(p.Pigment.Name).round += s * s
		}
	}
	if u.err != nil {
		return nil, u.err
	}
	return u.spread(d.Taken), nil
}

// hazy tells whether skin's haze is a part of what a geometry reads.
func hazy(g colour.Geometry) bool { return g == colour.DE || g == colour.At45 }

// doubting gathers what the doubts do to a colour.
type doubting struct {
	w      film.Worn
	at     colour.Lab
	metric [3][3]float64 // ΔE00² = dᵀMd near at
	causes []*doubtCause
	err    error // the first
}

type doubtCause struct {
	name  string
	cov   [3][3]float64
	round float64 // variance of a ΔE00 error alike in all directions, per direction
}

func newDoubting(w film.Worn) (*doubting, error) {
	u := &doubting{w: w}
	var err error
	if u.at, err = look(w); err != nil {
		return nil, err
	}
	_, _, h := colour.DeltaE00Gradient(u.at, u.at)
	for r := range h {
		for c := range h[r] {
			u.metric[r][c] = h[r][c] / 2
		}
	}
	return u, nil
}

// look is the diffuse colour of a film.
func look(w film.Worn) (colour.Lab, error) {
	r, err := film.Diffuse(w)
	return w.Light.Lab(&r), err
}

// move adds a doubt: change makes by sigmas of it.
func (u *doubting) move(name string, change func(w *film.Worn, by float64)) {
	var v [3]float64
	for _, by := range [2]float64{1, -1} {
		w := u.w
		w.Parts = slices.Clone(w.Parts)
		change(&w, by)
		lab, err := look(w)
		if err != nil && u.err == nil {
			u.err = fmt.Errorf("doubt of the %s: %w", name, err)
		}
		v[0], v[1], v[2] = v[0]+by*lab.L/2, v[1]+by*lab.A/2, v[2]+by*lab.B/2
	}
	u.add(name, v)
}

// reach adds what a change does as a share of a doubt's mean square.
func (u *doubting) reach(name string, share float64, change func(w *film.Worn)) {
	w := u.w
	change(&w)
	lab, err := look(w)
	if err != nil && u.err == nil {
		u.err = fmt.Errorf("doubt of the %s: %w", name, err)
	}
	s := math.Sqrt(share)
	u.add(name, [3]float64{s * (lab.L - u.at.L), s * (lab.A - u.at.A), s * (lab.B - u.at.B)})
}

// add adds a change of the colour to a cause.
func (u *doubting) add(name string, v [3]float64) {
	c := u.cause(name)
	for i := range v {
		for j := range v {
			c.cov[i][j] += v[i] * v[j]
		}
	}
}

func (u *doubting) cause(name string) *doubtCause {
	for _, c := range u.causes {
		if c.name == name {
			return c
		}
	}
	c := &doubtCause{name: name}
	u.causes = append(u.causes, c)
	return c
}

func (u *doubting) spread(taken map[string]string) *Spread {
	s := &Spread{}
	all := doubtCause{}
	for _, c := range u.causes {
		for i := range c.cov {
			for j := range c.cov[i] {
				all.cov[i][j] += c.cov[i][j]
			}
		}
		all.round += c.round
		if de := u.within95(c); de > 0 {
			s.Causes = append(s.Causes, Cause{c.name, de, taken[c.name]})
		}
	}
	sort.SliceStable(s.Causes, func(i, j int) bool { return s.Causes[i].DeltaE95 > s.Causes[j].DeltaE95 })
	s.Covariance = all.cov
	s.Sigma = colour.Lab{L: math.Sqrt(all.cov[0][0]), A: math.Sqrt(all.cov[1][1]), B: math.Sqrt(all.cov[2][2])}
	s.DeltaE95 = u.within95(&all)
	return s
}

// within95 returns the ΔE00 that 95 of 100 draws stay within.
func (u *doubting) within95(c *doubtCause) float64 {
	var a [3][3]float64 // MC, with the round error in its own right
	for i := range a {
		for j := range a {
			for l := range a {
				a[i][j] += u.metric[i][l] * c.cov[l][j]
			}
		}
		a[i][i] += c.round
	}
	sum, squares := 0.0, 0.0
	for i := range a {
		sum += a[i][i]
		for j := range a {
			squares += a[i][j] * a[j][i]
		}
	}
	if !(sum > 0 && squares > 0) {
		return 0
	}
	// Scale g and degrees of freedom h of the χ² with this mean and variance.
	g, h := squares/sum, sum*sum/squares
	return math.Sqrt(g * 2 * mathext.GammaIncRegInv(h/2, 0.95))
}
