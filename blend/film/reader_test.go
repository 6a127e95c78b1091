package film

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"tawny/blend/flake"
	"tawny/blend/flake/grain"
	"tawny/colour"
)

func mustFilm(t testing.TB, lay Lay) *Film {
	t.Helper()
	f, err := New(lay)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func mustReader(t testing.TB, f *Film, g colour.Geometry) *Reader {
	t.Helper()
	r, err := f.Reader(g)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// sample returns a powder of flakes, grains or both, drawn from r.
func sample(r *rand.Rand, absorbing bool) *Powder {
	p := &Powder{FaceArea: 6 * r.Float64()}
	g := colour.Constant(0.9 * r.Float64())
	p.Moments = peaked(&g)
	if r.IntN(4) == 0 {
		p.FaceArea = 0
	}
	p.R = []colour.Spectrum{{}}
	p.T = []colour.Spectrum{{}}
	grains := r.IntN(4) > 0
	for b := range colour.Bands {
		p.R[0][b] = r.Float64()
		p.T[0][b] = 1 - p.R[0][b]
		if grains {
			p.MuS[b] = 20 * r.Float64()
		}
		if absorbing {
			p.T[0][b] *= r.Float64()
			p.MuA[b] = 10 * r.Float64() * r.Float64()
		}
	}
	return p
}

func allReaders(t testing.TB, f *Film) []*Reader {
	var all []*Reader
	for _, g := range colour.Geometries {
		all = append(all, mustReader(t, f, g))
	}
	for _, a := range []float64{15, 75, 110} {
		r, err := f.Angle(a)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, r)
	}
	return all
}

// Derivatives against central differences, extrapolated twice.
func TestDerivatives(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 2))
	worst := 0.0
	for _, lay := range []Lay{{1.47, 6, 0, 0}, {1.47, 15, 0, 0}, {1.5, 0, 0, 0}, {1.4, 10, 8, 0}} {
		for _, r := range allReaders(t, mustFilm(t, lay)) {
			powders := []*Prepared{r.Prepare(sample(rng, true)), r.Prepare(sample(rng, true)), r.Prepare(sample(rng, false)), r.Prepare(sample(rng, true))}
			for band := 0; band < colour.Bands; band += 5 {
				size := math.Pow(10, -3+4*rng.Float64())
				mass := []float64{size * rng.Float64(), size * rng.Float64(), size * rng.Float64(), size * rng.Float64()}
				g := Under{Mirror: 1}
				g.Below[band] = rng.Float64()
				slopes := make([]float64, 4)
				base := r.Band(band, &g, powders, mass, slopes)
				for i := range mass {
					h := 0.02 * mass[i]
					central := func(h float64) float64 {
						was := mass[i]
						mass[i] = was + h
						up := r.Band(band, &g, powders, mass, nil)
						mass[i] = was - h
						down := r.Band(band, &g, powders, mass, nil)
						mass[i] = was
						return (up - down) / (2 * h)
					}
					d0, d1, d2 := central(h), central(h/2), central(h/4)
					e0, e1 := (4*d1-d0)/3, (4*d2-d1)/3
					d := (16*e1 - e0) / 15
					off := math.Abs(d-slopes[i]) / (math.Abs(d) + 1e-3*base/mass[i])
					worst = max(worst, off)
					if !(off < 1e-7) {
						t.Fatalf("%+v band %d mass %v: derivative %d is %.12g, by differences %.12g", lay, band, mass, i, slopes[i], d)
					}
				}
			}
		}
	}
	t.Logf("worst %.1e", worst)
}

// Nothing absorbing over a ground that returns everything: all that enters
// leaves.
func TestEnergy(t *testing.T) {
	films := []*Film{mustFilm(t, Lay{1.47, 0, 0, 0}), mustFilm(t, Lay{1.47, 6, 0, 0}), mustFilm(t, Lay{1.47, 10, 0, 0}), mustFilm(t, Lay{1.5, 15, 0, 0}), mustFilm(t, Lay{1.4, 30, 0, 0})}
	worst := 0.0
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.SampledFrom(films).Draw(t, "film")
		deg := rapid.Float64Range(0, 80).Draw(t, "light")
		size := math.Pow(10, rapid.Float64Range(-6, 2).Draw(t, "size"))
		p := sample(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1)), false)
		in := towards(math.Round(deg))
		fr := newFrame(vec{0, 0, 1}, in)
		fc := f.facet(&fr, 1)
		var b band
		fc.prepare(p, 7, &b.k)
		for i := range b.k {
			b.k[i] *= size
		}
		h := b.read(&fc.boundary, 1)
		off := math.Abs(h - (1 - colour.Fresnel(f.Index, fr.in[2])))
		worst = max(worst, off)
		if !(off < 1e-12) {
			t.Fatalf("reads %.15g of %.15g entering", h, 1-colour.Fresnel(f.Index, fr.in[2]))
		}
	})
	t.Logf("worst %.1e", worst)
}

func BenchmarkRead4(b *testing.B) {
	f := mustFilm(b, Lay{DefaultIndex, 10, 0, 0})
	rng := rand.New(rand.NewPCG(1, 1))
	for _, g := range []colour.Geometry{colour.DI, colour.At45} {
		r := mustReader(b, f, g)
		var powders []*Prepared
		for range 4 {
			powders = append(powders, r.Prepare(sample(rng, true)))
		}
		mass := []float64{0.02, 0.01, 0.005, 0.003}
		ground := Under{Mirror: 1, Below: colour.Constant(0.3)}
		var out colour.Spectrum
		slopes := make([]colour.Spectrum, 4)
		b.Run(string(g)+"/slopes", func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r.Read(&out, slopes, &ground, powders, mass)
			}
		})
		b.Run(string(g)+"/value", func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r.Read(&out, nil, &ground, powders, mass)
			}
		})
	}
}

// What scatters backwards has no peak ahead to cut off, and reads as no less than
// nothing; and no surface gives more light than came in, over a binder less dense than
// skin too.
func TestNothingBelowNothing(t *testing.T) {
	f := mustFilm(t, Lay{1.47, 10, 0, 0})
	var readers []*Reader
	for _, geometry := range colour.Geometries {
		readers = append(readers, mustReader(t, f, geometry))
	}
	for _, deg := range flake.Aspecular {
		r, err := f.Angle(deg)
		if err != nil {
			t.Fatal(err)
		}
		readers = append(readers, r)
	}
	for i, r := range readers {
		for _, g := range []float64{-0.9, -0.6, 0.9} {
			p := r.Prepare(&Powder{MuA: colour.Constant(0.1), MuS: colour.Constant(1), Moments: grain.HenyeyGreenstein(g)})
			for _, m := range []float64{0.03, 1, 30} {
				dark := r.Band(0, &Under{}, []*Prepared{p}, []float64{m}, nil) - r.Gloss(&Under{})
				if dark < 0 || dark > 2.5 {
					t.Errorf("reader %d, g %g, %g mg/cm²: %.4g over black", i, g, m, dark)
				}
			}
		}
	}
	r := mustReader(t, mustFilm(t, Lay{1.333, 10, 0, 0}), colour.DI)
	if white := r.Band(0, &Under{Below: colour.Constant(1), Mirror: 1}, nil, nil, nil); math.Abs(white-1) > 1e-12 {
		t.Errorf("a white furnace in water reads %.12f", white)
	}
}
