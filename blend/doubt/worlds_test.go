package doubt

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"tawny/blend/film"
	"tawny/blend/flake"
	"tawny/blend/palette"
	"tawny/colour"
	"tawny/colour/parallel"
	"tawny/colour/skin"
)

// world is how things might really be: what a prediction takes by convention or
// from memory, drawn anew.
type world struct {
	tilt, surface, haze float64 // standard normal, share, off the convention
	n, k                map[string]float64
	powders             map[*palette.Pigment]*palette.Pigment
}

func newWorld(rng *rand.Rand) *world {
	w := &world{tilt: rng.NormFloat64(), surface: film.MostSurfaceShare * rng.Float64(), n: map[string]float64{}, k: map[string]float64{}, powders: map[*palette.Pigment]*palette.Pigment{}}
	w.haze = min(max(skin.HazeDoubt*rng.NormFloat64(), -skin.HazeShare), 1-skin.HazeShare)
	for _, m := range []string{"rutile", "anatase", "hematite"} {
		// Published indices of one oxide's films lie within some per cent, its
		// absorption by a quarter and more (from memory).
		w.n[m], w.k[m] = 0.02*rng.NormFloat64(), math.Expm1(0.25*rng.NormFloat64())
	}
	return w
}

// powder is one powder as it is in this world: a coat of other constants, another
// thickness and evenness, flakes computed anew; grains dispersed otherwise, whose
// absorption and scattering differ, and not alike in blue and red.
func (w *world) powder(t testing.TB, g *palette.Pigment, rng *rand.Rand) *palette.Pigment {
	if p := w.powders[g]; p != nil {
		return p
	}
	p := *g
	o := &p.Optics
	w.powders[g] = &p
	if g.Spectrum != "" {
		apart := max(0.2, 1+0.2/0.6*rng.NormFloat64())
		k, s, tilt := 0.2*rng.NormFloat64(), 0.2*rng.NormFloat64(), 0.1*rng.NormFloat64()
		for b := range o.K {
			red := 2*float64(b)/(colour.Bands-1) - 1
			o.K[b] *= apart * math.Exp(k+tilt*red)
			o.S[b] *= apart * math.Exp(s)
		}
		return &p
	}
	f := g.Flake(film.DefaultIndex)
	f.Coats = append([]flake.Layer(nil), g.Layers...)
	for i := range f.Coats {
		f.Coats[i].ThicknessNM *= 1 + modelledCoat*rng.NormFloat64()
	}
	if len(f.Coats) > 0 {
		outer := f.Coats[len(f.Coats)-1].Material
		f.IndexOff, f.AbsorbOff = w.n[outer], w.k[outer]
	}
	f.CoatSpread = max(0, f.CoatSpread+coatSpreadDoubt*rng.NormFloat64())
	table, err := f.Table()
	if err != nil {
		t.Error(err)
	}
	o.FaceArea, o.R, o.T = table.FaceArea, table.R, table.T
	// How strongly a gram colours: flakes thicker or broken.
	o.FaceArea *= math.Exp(modelledStrength * rng.NormFloat64())
	// The table holds as it is where K and S are as its means say.
	for b := range o.K {
		o.MeanR[b], o.MeanA[b] = o.S[b]/o.FaceArea, o.K[b]/o.FaceArea
	}
	return &p
}

// lay gives a worn blend this world's tilt, by its doubt, surface and haze.
func (w *world) lay(worn *film.Worn, doubt float64) {
	worn.Tilt += w.tilt * doubt
	worn.HazeOff = w.haze
	if slices.ContainsFunc(worn.Parts, func(p film.Part) bool { return p.Pigment.Optics.Flake }) { // what has none lies flat
		worn.SurfaceShare = w.surface
	}
}

// For the tests from outside, which may search.
var (
	NewWorld = newWorld
	ReadIn   = readIn
)

// Wears is a blend as it is worn in this world.
func (w *world) Wears(t testing.TB, worn film.Worn, rng *rand.Rand) film.Worn {
	w.lay(&worn, Usual(worn).Tilt)
	parts := worn.Parts
	worn.Parts = nil
	for _, p := range parts {
		p.Pigment = w.powder(t, p.Pigment, rng)
		worn.Parts = append(worn.Parts, p)
	}
	return worn
}

// The 95 % that is stated holds in honest other worlds. In each are drawn anew the
// constants, thickness and evenness of coats, the strength and dispersion of
// powders, the tilt of flakes, what the surface shares of it, and skin's haze; and
// with each blend its weights, its amount and the skin's reading. In ninety to
// ninety-nine of a hundred blends the colour there, in the geometry the skin was
// read in, must lie within what is stated here.
func TestCovers(t *testing.T) {
	worlds, each := 100, 4
	if testing.Short() {
		worlds = 12
	}
	drawer := drawer(t)
	skins := [2]string{"light", "dark"}
	within := make([][2][3]int, worlds)
	doubts := map[*palette.Pigment]Powder{}
	for _, g := range drawer.Pigments {
		d, err := OfPowder(g, film.DefaultIndex, nil)
		if err != nil {
			t.Fatal(err)
		}
		doubts[g] = d
	}
	// The skins, with the changes of their reading, in each geometry.
	type read struct {
		ground film.Ground
		moves  []colour.Spectrum
	}
	var bare [2][len(colour.Geometries)]read
	for i, name := range skins {
		k, err := skin.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		for j, g := range colour.Geometries {
			bare[i][j].ground, bare[i][j].moves = readIn(t, &k, g)
		}
	}
	parallel.For(0, worlds, func(i int) {
		rng := rand.New(rand.NewPCG(11, uint64(i)))
		w := newWorld(rng)
		for s := range skins {
			for c, coverage := range film.Coverages {
				for range each {
					on := bare[s][i%len(colour.Geometries)]
					blend := film.Worn{Ground: on.ground, Apply: coverage.MgPerCM2, Tilt: coverage.SigmaDeg, Light: colour.D65}
					for _, g := range rng.Perm(len(drawer.Pigments))[:1+rng.IntN(3)] {
						blend.Parts = append(blend.Parts, film.Part{Pigment: drawer.Pigments[g], Percent: 0.3 + 1.7*rng.Float64()})
					}
					d := Usual(blend)
					d.Skin, d.Powders, d.Weigh = on.moves, doubts, 0.01
					stated, err := Uncertainty(blend, d)
					if err != nil {
						t.Error(err)
						return
					}
					here, err := look(blend)
					if err != nil {
						t.Error(err)
						return
					}
					there := blend
					there.Apply *= math.Exp(d.Apply * rng.NormFloat64())
					w.lay(&there, d.Tilt)
					for _, m := range on.moves {
						z := rng.NormFloat64()
						for b := range m {
							there.Ground.Reflectance[b] += z * m[b]
						}
					}
					there.Parts = nil
					for _, p := range blend.Parts {
						p.Percent += d.Weigh * rng.NormFloat64()
						p.Pigment = w.powder(t, p.Pigment, rng)
						there.Parts = append(there.Parts, p)
					}
					lab, err := look(there)
					if err != nil {
						t.Error(err)
						return
					}
					if colour.DeltaE00(here, lab) <= stated.DeltaE95 {
						within[i][s][c]++
					}
				}
			}
		}
	})
	n := worlds * each
	for s, name := range skins {
		for c, coverage := range film.Coverages {
			held := 0
			for i := range within {
				held += within[i][s][c]
			}
			share := float64(held) / float64(n)
			t.Logf("%-5s %-8s %.3f of %d", name, coverage.Name, share, n)
			// Fewer blends leave more to chance.
			slack := 0.0
			if testing.Short() {
				slack = 0.08
			}
			if share < 0.90-slack || share > 0.99+slack {
				t.Errorf("%s, %s: stated 95 %% holds in %.3f of %d", name, coverage.Name, share, n)
			}
		}
	}
}

// readIn is a skin read in a geometry, with what its reading's repeats change.
func readIn(t testing.TB, k *skin.Skin, g colour.Geometry) (film.Ground, []colour.Spectrum) {
	t.Helper()
	f, err := film.Kept(film.Lay{Index: film.DefaultIndex, TiltDeg: 10})
	if err != nil {
		t.Fatal(err)
	}
	under, err := f.Ground(colour.DI, &k.Reflectance)
	if err != nil {
		t.Fatal(err)
	}
	r, err := f.Bare(g, &under)
	if err != nil {
		t.Fatal(err)
	}
	moves, err := OfSkin(k, Alike(colour.D65.Lab(&k.Reflectance), 0.4))
	if err != nil {
		t.Fatal(err)
	}
	return film.Ground{Reflectance: r, Geometry: g}, moves
}
