package drawdown

import (
	"math"
	"slices"

	"tawny/colour"
)

// result gathers the fit, its bands and its residuals, and judges them.
func (w *work) result(films []string) *Fit {
	f := &Fit{Powder: *w.like}
	chi := 0.0
	for j := range w.bands {
		f.Powder.K[j], f.Powder.S[j] = w.bands[j].p[0], w.bands[j].p[1]
		chi += 2 * w.bands[j].cost
	}
	if left := (len(w.obs) - 2) * colour.Bands; left > 0 {
		f.Chi2 = chi / float64(left)
	}
	for j := range w.bands {
		w.confidence(f, j, max(1, f.Chi2))
	}
	for i, name := range films {
		m := FilmMass{Name: name, Mass: Mass{w.given[i], w.given[i] * w.tau[i]}, Seen: w.given[i] * math.Exp(w.delta[i])}
		if w.tau[i] > 0 {
			m.Off = w.delta[i] / w.tau[i]
		}
		f.Films = append(f.Films, m)
	}
	for i := range w.obs {
		r := w.obs[i].residual(&f.Powder)
		f.Readings = append(f.Readings, r)
		f.Mean += r.DeltaE00 / float64(len(w.obs))
		if r.DeltaE00 > f.Worst {
			f.Worst, f.WorstAt = r.DeltaE00, i
		}
	}
	f.judge(w)
	return f
}

// confidence fills the 95 % bands of band j. noise scales the readings'
// stated variance.
func (w *work) confidence(f *Fit, j int, noise float64) {
	b := &w.bands[j]
	k, s := b.p[0], b.p[1]
	cov := inverse2(b.a)
	// How K and S follow the masses: −A⁻¹B.
	follow := make([][2]float64, len(w.free))
	for i, film := range w.free {
		v := b.b[film]
		follow[i] = [2]float64{-cov[0][0]*v[0] - cov[0][1]*v[1], -cov[1][0]*v[0] - cov[1][1]*v[1]}
	}
	for x := range cov {
		for y := range cov[x] {
			cov[x][y] *= noise
			for i := range w.free {
				for l := range w.free {
					cov[x][y] += follow[i][x] * w.cov.At(i, l) * follow[l][y]
				}
			}
		}
	}
	ek, es := math.Sqrt(cov[0][0]), math.Sqrt(cov[1][1])
	w.spread[j] = [2][2]float64{{ek, 0}, {0, es}}
	if ek > 0 && es > 0 {
		w.spread[j][0][1], w.spread[j][1][0] = cov[1][0]/ek, cov[0][1]/es
	}
	// Neither can be negative, so nor can the bands.
	f.K.Lo[j], f.K.Hi[j] = max(0, k-z95*ek), k+z95*ek
	f.S.Lo[j], f.S.Hi[j] = max(0, s-z95*es), s+z95*es
	if s == 0 {
		return
	}
	ratio := k / s
	e := math.Sqrt(max(0, cov[0][0]-2*ratio*cov[0][1]+ratio*ratio*cov[1][1])) / s
	// K/S is pinned down while S by itself may be half or double: the film
	// hid its ground.
	if es > guess*s && e < guess*ratio {
		f.RatioOnly[j] = true
	}
}

// guess is the relative standard error beyond which a figure is one. A stated
// convention.
const guess = 0.5

// RelativeErrors returns the relative standard errors of K, of S and of both
// together, each the median over the wavelengths, since a few where the film
// hid its ground say nothing of the rest. Where a figure is near 0 its error is
// relative to K and S together.
func (f *Fit) RelativeErrors() (k, s, both float64) {
	var list [3][colour.Bands]float64
	for j := range f.Powder.K {
		sum := f.Powder.K[j] + f.Powder.S[j]
		ek, es := (f.K.Hi[j]-f.Powder.K[j])/z95, (f.S.Hi[j]-f.Powder.S[j])/z95
		list[0][j] = ek / max(f.Powder.K[j], 0.01*sum)
		list[1][j] = es / max(f.Powder.S[j], 0.01*sum)
		list[2][j] = math.Hypot(ek, es) / sum
	}
	var median [3]float64
	for i := range list {
		slices.Sort(list[i][:])
		median[i] = list[i][colour.Bands/2]
	}
	return median[0], median[1], median[2]
}
