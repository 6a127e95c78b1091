package grain

import (
	"math"
	"strings"
	"testing"

	"tawny/blend/flake/constants"
	"tawny/blend/flake/mie"
	"tawny/colour"
)

// usual are the grains of the built-in pigments.
var usual = map[string]Grain{
	"hematite":    {Material: "hematite", DiameterUM: 0.17, GSD: 1.5},
	"goethite":    {Material: "goethite", DiameterUM: 0.25, GSD: 1.5},
	"magnetite":   {Material: "magnetite", DiameterUM: 0.25, GSD: 1.5},
	"rutile":      {Material: "rutile", DiameterUM: 0.41, GSD: 1.65},
	"ultramarine": {Material: "ultramarine", DiameterUM: 1.5, GSD: 1.6},
	"chromia":     {Material: "chromia", DiameterUM: 0.5, GSD: 1.5},
}

// The strength of tinting falls with grain size where grains are opaque to
// themselves, and titania scatters most near a fifth to a quarter of a
// micrometre (common knowledge of white pigments, from memory).
func TestGrainSize(t *testing.T) {
	last := math.Inf(1)
	for _, d := range []float64{0.2, 0.4, 0.8, 1.6, 3.2} {
		o, err := Grain{Material: "hematite", DiameterUM: d}.Optics()
		if err != nil {
			t.Fatal(err)
		}
		if k := o.K[7]; k >= last {
			t.Errorf("hematite of %g µm: K %.2f at 450 nm, not under %.2f of the finer", d, k, last)
		} else {
			last = k
		}
	}
	best, at := 0.0, 0.0
	for d := 0.05; d < 1; d *= 1.1 {
		o, err := Grain{Material: "rutile", DiameterUM: d, GSD: 1.4}.Optics()
		if err != nil {
			t.Fatal(err)
		}
		if s := o.S[17]; s > best {
			best, at = s, d
		}
	}
	if at < 0.15 || at > 0.32 {
		t.Errorf("titania scatters green light most at %.2f µm, want about 0.2 to 0.3", at)
	}
}

// One size, by hand: 1 µm spheres of Q_ext 3 and density 4 show
// 3·3/(2·1e-4 cm·4 g/cm³) = 11,250 cm²/g = 11.25 cm²/mg. Here with Mie's Q.
func TestUnits(t *testing.T) {
	g := Grain{Material: "hematite", DiameterUM: 1, GSD: 1, Density: 4}
	o, err := g.Optics()
	if err != nil {
		t.Fatal(err)
	}
	m, _ := constants.Find("hematite")
	e, err := mie.Sphere(math.Pi*1000*1.47/550, m.Index(550)/1.47)
	if err != nil {
		t.Fatal(err)
	}
	perMass := 3 / (2 * 1e-4 * 4.0) / 1000 // cm²/mg
	if d := o.K[17] - 2*e.Abs*perMass; math.Abs(d) > 1e-12 {
		t.Errorf("K is off by %g", d)
	}
	if d := o.S[17] - 0.75*e.Sca*(1-e.G)*perMass; math.Abs(d) > 1e-9 {
		t.Errorf("S is off by %g", d)
	}
	// Of one sphere g is the phase function's first moment; the cut peak is
	// beyond any that it has.
	if d := o.Moments[1][17] - e.G; math.Abs(d) > 1e-9 {
		t.Errorf("χ_1 is off by %g", d)
	}
}

// The phase function's peak past the order kept is cut off, and what is left counts
// as all: of one fine size by its own moments, of one coarse by Henyey and
// Greenstein's of its g, of both sizes together by what each scatters.
func TestPeakIsCut(t *testing.T) {
	const band, binder = 17, 1.47
	m, err := constants.Find("chromia")
	if err != nil {
		t.Fatal(err)
	}
	one := func(um float64) (moments []float64, e mie.Efficiency) {
		x := math.Pi * um * 1000 * binder / colour.WavelengthNM(band)
		var w mie.Workspace
		e, err := w.Sphere(x, m.Index(colour.WavelengthNM(band))/binder)
		if err != nil {
			t.Fatal(err)
		}
		moments = make([]float64, Kept+2)
		p := mie.NewPhase(mie.Terms(x), 2*mie.Terms(x))
		p.Add(&w, 1)
		p.Moments(moments)
		if x > peaked {
			for l := range moments {
				moments[l] = math.Pow(e.G, float64(l))
			}
		}
		return moments, e
	}
	for _, um := range []float64{0.3, 4, 7, 9, 20} {
		g := Grain{Material: "chromia", DiameterUM: um, GSD: 1, Binder: binder}
		o, err := g.Optics()
		if err != nil {
			t.Fatal(err)
		}
		moments, e := one(um)
		for l := range Kept + 1 {
			want, got, within := (moments[l]-moments[Kept+1])/(1-moments[Kept+1]), 0.0, 1e-9
			if l < len(o.Moments) {
				got = o.Moments[l][band]
			} else {
				within = Faint // in this band too
			}
			if !(math.Abs(got-want) < within) {
				t.Errorf("%g µm: χ_%d %.9g, want %.9g", um, l, got, want)
			}
		}
		want := 0.75 * e.Sca * (1 - e.G) * 15 / (um * m.Density)
		if !(math.Abs(o.S[band]/want-1) < 1e-9) {
			t.Errorf("%g µm: S %.9g, want %.9g", um, o.S[band], want)
		}
	}
	g := Grain{Material: "chromia", DiameterUM: 7, GSD: 1.5, Binder: binder}
	o, err := g.Optics()
	if err != nil {
		t.Fatal(err)
	}
	var sum [Kept + 2]float64
	diameter, share := g.sizes(m)
	for i, d := range diameter {
		moments, e := one(d)
		for l, v := range moments {
			sum[l] += share[i] / d * e.Sca * v
		}
	}
	for l := range o.Moments {
		want := (sum[l] - sum[Kept+1]) / (sum[0] - sum[Kept+1])
		if got := o.Moments[l][band]; !(math.Abs(got-want) < 1e-9) {
			t.Errorf("mixed sizes: χ_%d %.9g, want %.9g", l, got, want)
		}
	}
}

// Very small grains absorb as Rayleigh says, whatever their size:
// μ_a = 6π/(λρ) n₀ Im((m²−1)/(m²+2)) (Bohren & Huffman 5.11).
func TestSmallGrainLimit(t *testing.T) {
	o, err := Grain{Material: "hematite", DiameterUM: 0.01, GSD: 1}.Optics()
	if err != nil {
		t.Fatal(err)
	}
	m, _ := constants.Find("hematite")
	for b := range o.K {
		nm := colour.WavelengthNM(b)
		z := m.Index(nm) / 1.47
		lorentz := (z*z - 1) / (z*z + 2)
		want := 6 * math.Pi * 1.47 / (nm * 1e-7) * imag(lorentz) / m.Density / 1000
		if math.Abs(o.K[b]/2/want-1) > 0.02 {
			t.Errorf("%g nm: μ_a %.4g, want %.4g", nm, o.K[b]/2, want)
		}
	}
}

// The sizes are lognormal by volume: ln d has the median's mean and ln GSD for
// standard deviation, less what lies beyond ±3.5 of it.
func TestSizesAreLognormal(t *testing.T) {
	m, err := constants.Find("chromia")
	if err != nil {
		t.Fatal(err)
	}
	d, share := Grain{DiameterUM: 0.7, GSD: 1.6, Binder: 1.47}.sizes(m)
	var total, mean, square float64
	for i := range d {
		u := math.Log(d[i]/0.7) / math.Log(1.6)
		total += share[i]
		mean += share[i] * u
		square += share[i] * u * u
	}
	// ∫u²φ over ±3.5 of it: 1 − 2·3.5 φ(3.5)/(Φ(3.5) − Φ(−3.5)) = 0.99389.
	if !(math.Abs(total-1) < 1e-12 && math.Abs(mean) < 1e-12 && math.Abs(square-0.99389) < 1e-3) {
		t.Errorf("shares %g, mean %g, variance %g", total, mean, square)
	}
	if first, last := d[0], d[len(d)-1]; !(math.Abs(first*last-0.49) < 1e-12) {
		t.Errorf("from %g to %g µm is not even about 0.7", first, last)
	}
}

// What the sizes taken miss, most where resonances are sharp: against eight times as
// many or more, 2 % of K and S in the built-in pigments, 4.1 % of them in a jar's water,
// and 7 % in three titanias that a file may have.
func TestSizesConverged(t *testing.T) {
	worst := func(g Grain) float64 {
		m, _ := constants.Find(g.Material)
		o, err := g.Strength()
		if err != nil {
			t.Fatal(err)
		}
		const many = 801
		var w mie.Workspace
		worst := 0.0
		for b := range o.S {
			nm := colour.WavelengthNM(b)
			var muA, muS, total float64
			for i := range many {
				u := 3.5 * (2*float64(i)/(many-1) - 1)
				d := g.DiameterUM * math.Pow(g.GSD, u)
				share := math.Exp(-u * u / 2)
				e, err := w.Sphere(math.Pi*d*1000*g.Binder/nm, m.Index(nm)/complex(g.Binder, 0))
				if err != nil {
					t.Fatal(err)
				}
				total += share
				muA += share * 15 / (d * m.Density) * e.Abs
				muS += share * 15 / (d * m.Density) * e.Sca * (1 - e.G)
			}
			worst = max(worst, math.Abs(o.S[b]*total/(0.75*muS)-1))
			if muA > 0 {
				worst = max(worst, math.Abs(o.K[b]*total/(2*muA)-1))
			}
		}
		t.Logf("%+v: largest error of the sizes taken %.2g", g, worst)
		return worst
	}
	for name, g := range usual {
		for binder, most := range map[float64]float64{DefaultBinder: 0.02, 1.333: 0.041} {
			if g.Binder = binder; worst(g) > most {
				t.Errorf("%s in %g: the sizes taken miss by over %g", name, binder, most)
			}
		}
	}
	for _, g := range []Grain{{DiameterUM: 0.26, GSD: 1.5}, {DiameterUM: 0.2, GSD: 2.5}, {DiameterUM: 1, GSD: 1.6}} {
		if g.Material, g.Binder = "rutile", DefaultBinder; worst(g) > 0.07 {
			t.Errorf("%+v: the sizes taken miss by over 7 %%", g)
		}
	}
}

func TestErrorsNameTheField(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		g    Grain
		want string
	}{
		{Grain{Material: "haematite", DiameterUM: 0.2}, "did you mean hematite?"},
		{Grain{Material: "hematite"}, "diameter"},
		{Grain{Material: "hematite", DiameterUM: nan}, "diameter"},
		{Grain{Material: "hematite", DiameterUM: 100}, "diameter"},
		{Grain{Material: "hematite", DiameterUM: 0.2, GSD: 0.9}, "deviation"},
		{Grain{Material: "hematite", DiameterUM: 0.2, GSD: nan}, "deviation"},
		{Grain{Material: "hematite", DiameterUM: 0.2, Binder: 0.5}, "binder"},
		{Grain{Material: "hematite", DiameterUM: 0.2, Density: -1}, "density"},
		{Grain{Material: "hematite", DiameterUM: 0.2, Density: math.Inf(1)}, "density"},
	} {
		if _, err := c.g.Optics(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: error %v, want one that says %q", c.g, err, c.want)
		}
	}
	// The corners that are accepted give finite numbers.
	for _, name := range constants.Names() {
		for _, d := range []float64{0.01, 30} {
			for _, gsd := range []float64{1, 3} {
				o, err := Grain{Material: name, DiameterUM: d, GSD: gsd, Binder: 1}.Optics()
				if err != nil {
					t.Fatal(err)
				}
				for b := range o.K {
					if !(o.K[b] >= 0 && o.S[b] >= 0 && o.K[b]+o.S[b] < 1e4) {
						t.Fatalf("%s, %g µm, GSD %g, band %d: K %g S %g", name, d, gsd, b, o.K[b], o.S[b])
					}
				}
			}
		}
	}
}

func BenchmarkOptics(b *testing.B) {
	for name, g := range usual {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := g.Optics(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
