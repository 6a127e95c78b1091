package film

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"tawny/blend/flake"
	"tawny/colour"
	"tawny/colour/skin"
)

var flat = vec{0, 0, 1}

// A layer is what streams followed through it make of it, by matrices that need not
// be symmetric as its own R and T are, to 1e-12.
func TestLayerAgainstSteps(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	off := 0.0
	for _, lay := range []Lay{{1.47, 0, 0, 0}, {1.47, 15, 0, 0}, {1.33, 30, 0, 0}} {
		f := mustFilm(t, lay)
		fr := newFrame(flat, towards(0))
		fc := f.facet(&fr, 1)
		for range 40 {
			p := sample(rng, true)
			var b band
			fc.prepare(p, 3, &b.k)
			size := math.Pow(10, -2+3*rng.Float64())
			for i := range b.k {
				b.k[i] *= size
			}
			r, tr := b.layer(&fc.boundary)
			sr, st := stepped(&b)
			for _, v := range [][2]float64{{r.a, sr[0][0]}, {r.b, sr[0][1]}, {r.b, sr[1][0]}, {r.c, sr[1][1]}, {tr.a, st[0][0]}, {tr.b, st[0][1]}, {tr.b, st[1][0]}, {tr.c, st[1][1]}} {
				off = max(off, math.Abs(v[0]-v[1]))
			}
		}
	}
	t.Logf("R and T are those followed in steps to %.1e", off)
	if off > 1e-12 {
		t.Errorf("R and T are off those in steps by %.1e", off)
	}
}

type matrix [2][2]float64

func (a matrix) times(b matrix) (c matrix) {
	for i := range 2 {
		for j := range 2 {
			c[i][j] = a[i][0]*b[0][j] + a[i][1]*b[1][j]
		}
	}
	return c
}

func (a matrix) plus(b matrix, by float64) matrix {
	return matrix{{a[0][0] + by*b[0][0], a[0][1] + by*b[0][1]}, {a[1][0] + by*b[1][0], a[1][1] + by*b[1][1]}}
}

func (a matrix) inverse() matrix {
	d := a[0][0]*a[1][1] - a[0][1]*a[1][0]
	return matrix{{a[1][1] / d, -a[0][1] / d}, {-a[1][0] / d, a[0][0] / d}}
}

// stepped builds the layer from a thin one by Kubelka's adding of layers,
// T' = T(1−R²)⁻¹T, R' = R + TR(1−R²)⁻¹T. The thin one is the power series of Riccati's
// R' = B − AR − RA + RBR, T' = −TA + TBR.
func stepped(b *band) (r, t matrix) {
	unit := matrix{{1, 0}, {0, 1}}
	doublings := max(0, int(math.Log2(max(b.e.a, b.e.c)/0.02)))
	h := math.Ldexp(1, -doublings)
	a := matrix{{(b.e.a + b.g.a) / 2, (b.e.b + b.g.b) / 2}, {(b.e.b + b.g.b) / 2, (b.e.c + b.g.c) / 2}}
	back := matrix{{(b.e.a - b.g.a) / 2, (b.e.b - b.g.b) / 2}, {(b.e.b - b.g.b) / 2, (b.e.c - b.g.c) / 2}}
	const order = 12
	var rs, ts [order + 1]matrix
	ts[0], t = unit, unit
	power := 1.0
	for n := range order {
		dr, dt := matrix{}.plus(a.times(rs[n]), -1).plus(rs[n].times(a), -1), matrix{}.plus(ts[n].times(a), -1)
		if n == 0 {
			dr = dr.plus(back, 1)
		}
		for i := range n + 1 {
			dr = dr.plus(rs[i].times(back).times(rs[n-i]), 1)
			dt = dt.plus(ts[i].times(back).times(rs[n-i]), 1)
		}
		power *= h
		each := 1 / float64(n+1)
		rs[n+1], ts[n+1] = matrix{}.plus(dr, each), matrix{}.plus(dt, each)
		r, t = r.plus(rs[n+1], power), t.plus(ts[n+1], power)
	}
	for range doublings {
		tm := t.times(unit.plus(r.times(r), -1).inverse())
		r, t = r.plus(tm.times(r).times(t), 1), tm.times(t)
	}
	return r, t
}

// Where the film is empty every geometry is Saunderson's: what Ground takes off
// the reader puts on.
func TestEmptyFilmIsSaunderson(t *testing.T) {
	films := []*Film{mustFilm(t, Lay{1.47, 0, 0, 0}), mustFilm(t, Lay{1.47, 10, 0, 0}), mustFilm(t, Lay{1.4, 15, 0, 0})}
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.SampledFrom(films).Draw(t, "film")
		g := rapid.SampledFrom(colour.Geometries[:]).Draw(t, "geometry")
		r := colour.Constant(rapid.Float64Range(0.05, 0.95).Draw(t, "reading"))
		ground, err := f.Ground(g, &r)
		if err != nil {
			t.Fatal(err)
		}
		reader, err := f.Reader(g)
		if err != nil {
			t.Fatal(err)
		}
		skin, err := f.Bare(g, &ground)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(skin[4]-r[4]) > 1e-14 {
			t.Fatalf("bare skin reads %.15g, read %.15g", skin[4], r[4])
		}
		// The film has a surface of its own, and but for gloss nothing else.
		bare, _ := f.bare(g, false)
		film := reader.Band(4, &ground, nil, nil, nil) - reader.Gloss(&ground) + bare.Mirror*ground.Mirror
		if math.Abs(film-r[4]) > 1e-13 {
			t.Fatalf("%s: an empty film reads %.15g, the skin %.15g", g, film, r[4])
		}
		// And a powder of no mass changes nothing, and is on its way to something.
		p := sample(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2)), true)
		slopes := []float64{0}
		with := reader.Band(4, &ground, []*Prepared{reader.Prepare(p)}, []float64{0}, slopes)
		if with-reader.Gloss(&ground)+bare.Mirror*ground.Mirror != film || math.IsNaN(slopes[0]) || math.IsInf(slopes[0], 0) {
			t.Fatalf("%s: with nothing applied %.15g of %.15g, slope %g", g, with, film, slopes[0])
		}
	})
}

// The deepest skin measured reads 0.027 with a sphere, under what a smooth
// surface of 1.40 mirrors: it is not refused, and the share taken off is told.
func TestDarkGround(t *testing.T) {
	f := mustFilm(t, Lay{1.47, 10, 0, 0})
	r := colour.Constant(0.027)
	g, err := f.Ground(colour.DI, &r)
	if err != nil {
		t.Fatal(err)
	}
	if !(g.Mirror > 0.85 && g.Mirror < 0.95 && g.Below[0] > 0) {
		t.Errorf("mirror %g, below %g", g.Mirror, g.Below[0])
	}
	if read, _ := f.Bare(colour.DI, &g); math.Abs(read[0]-0.027) > 1e-15 {
		t.Errorf("reads back as %g", read[0])
	}
	r[5] = 1
	if _, err := f.Ground(colour.DI, &r); err == nil {
		t.Error("a reflectance of 1 was taken")
	}
}

// A very thick film is the infinite one, in every geometry; and an infinite one
// that absorbs nothing returns all that enters.
func TestInfinite(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	f := mustFilm(t, Lay{1.47, 10, 0, 0})
	for _, r := range allReaders(t, f) {
		for range 5 {
			p := sample(rng, true)
			for b := range colour.Bands {
				p.MuA[b] += 0.3
				p.MuS[b] += 0.3
			}
			ready := []*Prepared{r.Prepare(p)}
			ground := Under{Mirror: 0}
			got := r.Infinite(ready, []float64{1})
			for b := range colour.Bands {
				want := r.Band(b, &ground, ready, []float64{1000}, nil) - r.Gloss(&ground) + r.gloss
				if math.Abs(got[b]-want) > 1e-12 {
					t.Fatalf("infinite %.15g, thick %.15g", got[b], want)
				}
			}
		}
	}
	for _, g := range []colour.Geometry{colour.DI, colour.Photo} {
		r := mustReader(t, f, g)
		got := r.Infinite([]*Prepared{r.Prepare(f.Stirred(sample(rng, false)))}, []float64{1})
		deg := 0.0
		if g == colour.DI {
			deg = skin.SphereDeg
		}
		want := 1 - colour.Fresnel(1.47, math.Cos(deg*math.Pi/180)) + r.gloss
		for _, v := range got {
			if math.Abs(v-want) > 1e-12 {
				t.Fatalf("%s: a white jar reads %.15g, want %.15g", g, v, want)
			}
		}
	}
}

// A flake stirred every way absorbs and mirrors half its face, whatever it is.
func TestStirred(t *testing.T) {
	f := mustFilm(t, Lay{1.47, 10, 0, 0})
	k, s := colour.Constant(1.2), colour.Constant(2.4)
	p := f.Stirred(Facing(6, &k, &s))
	if math.Abs(p.MuS[0]-1.2) > 1e-12 || math.Abs(p.MuA[0]-0.6) > 1e-12 || p.moment(1, 0) != 0 {
		t.Errorf("μs %g, μa %g, g %g", p.MuS[0], p.MuA[0], p.moment(1, 0))
	}
	// One that reflects 1 − μ² at cosine μ sends light on with a phase function
	// 1 + cosΘ: half its faces' quarter, χ_1 a third and no more.
	cosine, _ := flake.Incidences(1.47)
	slant := &Powder{FaceArea: 6}
	for _, mu := range cosine {
		slant.R, slant.T = append(slant.R, colour.Constant(1-mu*mu)), append(slant.T, colour.Constant(mu*mu))
	}
	p = f.Stirred(slant)
	for l, want := range []float64{1, 1. / 3, 0, 0, 0} {
		if got := p.moment(l, 0); math.Abs(got-want) > 1e-12 {
			t.Errorf("χ_%d of faces that mirror at grazing is %g, want %g", l, got, want)
		}
	}
	if math.Abs(p.MuS[0]-1.5) > 1e-12 || math.Abs(p.MuA[0]) > 1e-12 {
		t.Errorf("μs %g, μa %g of them", p.MuS[0], p.MuA[0])
	}
}

// The share of a beam that leaves within 5° of the mirror, and gloss: the trap
// takes less the more the flakes tilt. 3.8, 1.4 and 0.6 % come from an
// independent calculation.
func TestTrap(t *testing.T) {
	for tilt, want := range map[float64]float64{6: 0.038, 10: 0.014, 15: 0.006} {
		f := mustFilm(t, Lay{1.47, tilt, 0, 0})
		in := towards(skin.SphereDeg)
		fr := newFrame(flat, in)
		fc := f.facet(&fr, 1)
		if got := f.trapped(&fc, &fr, vec{in[0], in[1], -in[2]}); math.Abs(got-want) > 0.0015 {
			t.Errorf("tilt %g°: the trap takes %.4f, want %.3f", tilt, got, want)
		}
	}
}

// Between the incidences asked for, R and T of real flakes are interpolated.
func TestIncidences(t *testing.T) {
	g := newGrid(1.47)
	for _, coat := range []flake.Layer{{Material: "rutile", ThicknessNM: 45}, {Material: "rutile", ThicknessNM: 90}, {Material: "rutile", ThicknessNM: 150}, {Material: "hematite", ThicknessNM: 60}} {
		fl := flake.New(coat)
		o, err := fl.Table()
		if err != nil {
			t.Fatal(err)
		}
		steep, slant := 0.0, 0.0
		for i := 1; i <= 50; i++ {
			cos := float64(i) / 50
			want, _, _, err := fl.At(math.Acos(cos) * 180 / math.Pi)
			if err != nil {
				t.Fatal(err)
			}
			w := g.at(cos)
			for b := range colour.Bands {
				got := 0.0
				for q := range w {
					got += w[q] * o.R[q][b]
				}
				off := math.Abs(got - want[b])
				if cos > g.critical {
					steep = max(steep, off)
				} else {
					slant = max(slant, off)
				}
			}
		}
		t.Logf("%v: within %.1e in the escape cone, %.1e outside it", coat, steep, slant)
		if steep > 1e-4 || slant > 2e-2 {
			t.Errorf("%v: off by %.1e in the escape cone, %.1e outside it", coat, steep, slant)
		}
	}
}

// g and its differences against tanh, at equal and unequal arguments.
func TestHyperbolic(t *testing.T) {
	g := func(x float64) float64 {
		if x == 0 {
			return 0.5
		}
		return math.Tanh(math.Sqrt(x)/2) / math.Sqrt(x)
	}
	worst := 0.0
	for _, x := range []float64{0, 1e-9, 0.01, 1, 7.9, 8.1, 30, 500, 1e5} {
		for _, y := range []float64{0, 1e-6, 0.5, 6, 40, 3000} {
			for _, z := range []float64{0, 1e-6, 1.5, 6.2, 40, 3e4} {
				var h hyperbolic
				e := [2]float64{math.Sqrt(z), math.Sqrt(y)}
				var l level
				h.functions(x+y, x*y, &e, &l)
				// At the eigenvalue x of M, adj(M) is y.
				worst = max(worst, math.Abs((l.g.one+l.g.adj*y)/g(x)-1))
				if math.Abs(x-z) > 0.3*max(x, z) && max(x, z) > 0.1 { // else the check itself cancels
					worst = max(worst, math.Abs((l.d[0].one+l.d[0].adj*y)*(x-z)/(g(z)-g(x))-1))
					worst = max(worst, math.Abs((l.t[0].one+l.t[0].adj*y)*(x-z)/(x*g(x)-z*g(z))-1))
				}
			}
		}
	}
	t.Logf("worst %.1e", worst)
	if worst > 1e-11 {
		t.Errorf("off by %.1e", worst)
	}
}

// A reading is its parts put together.
func TestParts(t *testing.T) {
	f := mustFilm(t, Lay{1.47, 10, 0, 0})
	rng := rand.New(rand.NewPCG(3, 5))
	ground := Under{Mirror: 1, Below: colour.Constant(0.2)}
	for _, asp := range flake.Aspecular {
		r, err := f.Angle(asp)
		if err != nil {
			t.Fatal(err)
		}
		ready := []*Prepared{r.Prepare(sample(rng, true))}
		mass := []float64{0.05}
		var diffuse colour.Spectrum
		beams := make([]colour.Spectrum, 1)
		r.Parts(&diffuse, beams, &ground, ready, mass)
		in, out := towards(45), towards(45-asp)
		out[2] = -out[2]
		for b := range diffuse {
			want := r.Band(b, &ground, ready, mass, nil) - r.Gloss(&ground)
			if got := diffuse[b] + beams[0][b]*f.Lobe(in, out); math.Abs(got-want) > 1e-10 {
				t.Fatalf("%g°: parts give %.12g, the reading %.12g", asp, got, want)
			}
		}
	}
}

// Whatever is mixed, no reading is negative, and no sphere sees more light than
// came in.
func TestReadingsAreLight(t *testing.T) {
	readers := append(allReaders(t, mustFilm(t, Lay{1.47, 10, 0, 0})), allReaders(t, mustFilm(t, Lay{1.47, 15, 10, 0}))...)
	rapid.Check(t, func(t *rapid.T) {
		i := rapid.IntRange(0, len(readers)-1).Draw(t, "reader")
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 9))
		r := readers[i]
		ground := Under{Mirror: 1, Below: colour.Constant(rapid.Float64Range(0, 1).Draw(t, "ground"))}
		size := math.Pow(10, rapid.Float64Range(-5, 2).Draw(t, "size"))
		ready := []*Prepared{r.Prepare(sample(rng, true)), r.Prepare(sample(rng, true))}
		mass := []float64{size * rng.Float64(), size * rng.Float64()}
		for b := range colour.Bands {
			got := r.Band(b, &ground, ready, mass, nil) - r.Gloss(&ground)
			if !(got >= 0) {
				t.Fatalf("reader %d reads %g", i, got)
			}
			if all := r.way == colour.DI || r.way == colour.Photo; all && got > 1+1e-12 {
				t.Fatalf("reader %d reads %g of 1", i, got)
			}
		}
	})
}

// A shimmer of 3 % worn at 2 mg/cm² reads lighter with a sphere than at 45:0, which the
// mirrored beam misses: by some 5 to 12 L* (independent calculation).
func TestSphereAgainst45(t *testing.T) {
	for _, c := range []struct {
		coat flake.Layer
		skin float64
	}{{flake.Layer{Material: "rutile", ThicknessNM: 45}, 0.15}, {flake.Layer{Material: "rutile", ThicknessNM: 75}, 0.3}, {flake.Layer{Material: "hematite", ThicknessNM: 40}, 0.3}} {
		fl := flake.New(c.coat)
		o, err := fl.Table()
		if err != nil {
			t.Fatal(err)
		}
		p := &Powder{FaceArea: o.FaceArea, R: o.R, T: o.T}
		f := mustFilm(t, Lay{DefaultIndex, 6, 0, 0})
		skin := colour.Constant(c.skin)
		ground, err := f.Ground(colour.DI, &skin)
		if err != nil {
			t.Fatal(err)
		}
		var l [2]float64
		for i, g := range []colour.Geometry{colour.DI, colour.At45} {
			r := mustReader(t, f, g)
			l[i] = lightness(r.Band(17, &ground, []*Prepared{r.Prepare(p)}, []float64{0.06}, nil))
		}
		t.Logf("%v: sphere L* %.1f, 45:0 L* %.1f", c.coat, l[0], l[1])
		if d := l[0] - l[1]; d < 5 || d > 12 {
			t.Errorf("%v: a sphere reads L* %.1f above 45:0", c.coat, d)
		}
	}
}

func BenchmarkMaking(b *testing.B) {
	b.Run("film", func(b *testing.B) {
		for b.Loop() {
			mustFilm(b, Lay{DefaultIndex, 10, 0, 0})
		}
	})
	b.Run("reader", func(b *testing.B) {
		for b.Loop() {
			f := &Film{}
			*f = Film{Lay: Lay{DefaultIndex, 10, 0, 0}, cones: newCones(DefaultIndex), slope: 0.176}
			f.grid = newGrid(DefaultIndex)
			f.tilts = newTilts(f.slope)
			f.mixing = &mixing{}
			mustReader(b, f, colour.At45)
		}
	})
	f := mustFilm(b, Lay{DefaultIndex, 10, 0, 0})
	r := mustReader(b, f, colour.At45)
	p := sample(rand.New(rand.NewPCG(1, 1)), true)
	for len(p.R) < nodes {
		p.R, p.T = append(p.R, p.R[0]), append(p.T, p.T[0])
	}
	b.Run("powder", func(b *testing.B) {
		for b.Loop() {
			r.Prepare(p)
		}
	})
}

// A tilting surface's gloss, gathered over every direction it leaves in, is what
// its facets mirror; and past a trap goes most of it but what lies near the
// mirror.
func TestSurfaceGloss(t *testing.T) {
	f := mustFilm(t, Lay{1.47, 12, 8, 0})
	for _, deg := range []float64{8, 30} {
		in := towards(deg)
		sum := 0.0
		const rings, around = 400, 400
		for i := range rings {
			cos := (float64(i) + 0.5) / rings
			for j := range around {
				sin, turn := math.Sincos(2 * math.Pi * (float64(j) + 0.5) / around)
				sum += f.mirrorAt(in, vec{sine(cos) * turn, sine(cos) * sin, -cos}) * cos
			}
		}
		sum *= 2.0 / (rings * around)
		want := 0.0
		for _, p := range f.pieces(9) {
			cos := in.dot(p.normal)
			want += p.share * cos / (p.normal[2] * in[2]) * colour.Fresnel(f.Index, cos)
		}
		if math.Abs(sum/want-1) > 2e-3 {
			t.Errorf("light at %g°: %.5f over all directions, %.5f by facets", deg, sum, want)
		}
	}
	in := towards(skin.SphereDeg)
	all, past := mustReader(t, f, colour.DI).gloss, f.sideways(in)
	if !(past > 0.85*all && past < all) {
		t.Errorf("past the trap %.4f of %.4f", past, all)
	}
}

// A white sphere: over a ground that returns everything, gloss included, a film
// that absorbs nothing reads 1, however flakes and surface tilt and wherever light
// comes from.
func TestWhiteSphere(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	white := Under{Mirror: 1, Below: colour.Constant(1)}
	for _, lay := range []Lay{{1.47, 0, 0, 0}, {1.47, 10, 0, 0}, {1.47, 6, 4.8, 0}, {1.47, 15, 10, 0}} {
		r := mustReader(t, mustFilm(t, lay), colour.DI)
		f := r.film
		for _, deg := range []float64{skin.SphereDeg, 0, 30, 60} {
			in := towards(deg)
			if deg != skin.SphereDeg {
				r = f.round(in)
				for _, p := range f.inPlane(roundPoints) {
					cos := in.dot(p.normal)
					r.gloss += p.share * cos / (p.normal[2] * in[2]) * colour.Fresnel(f.Index, cos)
				}
			}
			var out colour.Spectrum
			r.Read(&out, nil, &white, []*Prepared{r.Prepare(sample(rng, false)), r.Prepare(sample(rng, false))}, []float64{0.3, 0.02})
			for b, v := range out {
				if math.Abs(v-1) > 1e-12 {
					t.Fatalf("%+v, light at %g°, band %d: reads %.15g", lay, deg, b, v)
				}
			}
		}
	}
}
