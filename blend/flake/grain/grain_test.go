package grain

import (
	"math"
	"strings"
	"testing"

	"tawny/blend/flake/constants"
	"tawny/blend/flake/mie"
	"tawny/colour"
)

func look(r colour.Spectrum) (colour.Lab, colour.LCh) {
	lab := colour.D65.Lab(&r)
	return lab, lab.LCh()
}

func usual(t *testing.T, material string) Optics {
	t.Helper()
	g, err := Usual(material)
	if err != nil {
		t.Fatal(err)
	}
	o, err := g.Grain.Optics()
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// Each pigment's masstone has the colour its name says. Windows are wide:
// they hold the model to the right pigment, not to a grade.
func TestMasstonesHaveTheirNames(t *testing.T) {
	for _, c := range []struct {
		material               string
		lMin, lMax, cMin, cMax float64
		hMin, hMax             float64
	}{
		{"hematite", 25, 50, 18, 50, 25, 50},
		{"goethite", 45, 75, 30, 65, 65, 90},
		{"magnetite", 0, 30, 0, 6, 0, 360},
		{"rutile", 95, 100.001, 0, 5, 0, 360},
		{"chromia", 30, 65, 12, 40, 110, 170},
	} {
		o := usual(t, c.material)
		lab, lch := look(o.Masstone())
		t.Logf("%s: L* %.1f a* %.1f b* %.1f, C* %.1f h %.0f", c.material, lab.L, lab.A, lab.B, lch.C, lch.H)
		if lab.L < c.lMin || lab.L > c.lMax || lch.C < c.cMin || lch.C > c.cMax || lch.H < c.hMin || lch.H > c.hMax {
			t.Errorf("%s: L* %.1f C* %.1f h %.0f; want L* %g–%g C* %g–%g h %g–%g", c.material,
				lab.L, lch.C, lch.H, c.lMin, c.lMax, c.cMin, c.cMax, c.hMin, c.hMax)
		}
	}
	lab, _ := look(func() colour.Spectrum { o := usual(t, "hematite"); return o.Masstone() }())
	if lab.A <= 15 {
		t.Errorf("red iron oxide: a* %.1f, want over 15", lab.A)
	}
}

// Ultramarine's index of 1.50 is so near oil's that it does not scatter in it:
// blue as a dry powder and as a glaze over white, all but black in an oil
// layer too thick to see through. Painters know it so.
func TestUltramarineIsAGlazeInOil(t *testing.T) {
	o := usual(t, "ultramarine")
	oil, _ := look(o.Masstone())
	if oil.L > 15 {
		t.Errorf("masstone in oil: L* %.1f, want nearly black", oil.L)
	}
	var glaze colour.Spectrum
	for b := range glaze { // 0.1 mg/cm² over white, both ways through
		glaze[b] = 0.9 * math.Exp(-2*0.1*o.K[b])
	}
	_, h := look(glaze)
	if h.C < 20 || h.H < 265 || h.H > 310 {
		t.Errorf("glaze over white: L* %.0f C* %.0f h %.0f, want blue", h.L, h.C, h.H)
	}
	g, _ := Usual("ultramarine")
	g.Grain.Binder = 1
	dry, err := g.Grain.Optics()
	if err != nil {
		t.Fatal(err)
	}
	if _, h := look(dry.Masstone()); h.C < 30 || h.H < 270 || h.H > 310 {
		t.Errorf("dry powder: L* %.0f C* %.0f h %.0f, want blue", h.L, h.C, h.H)
	}
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
	if d := o.MuA[17] - e.Abs*perMass; math.Abs(d) > 1e-12 {
		t.Errorf("μ_a is off by %g", d)
	}
	if d := o.MuS[17] - e.Sca*(1-e.G)*perMass; math.Abs(d) > 1e-12 {
		t.Errorf("μ_s′ is off by %g", d)
	}
	if d := o.K[17] - 2*o.MuA[17]; d != 0 {
		t.Errorf("K is not 2 μ_a: %g", d)
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
	for b := range o.MuA {
		nm := colour.WavelengthNM(b)
		z := m.Index(nm) / 1.47
		lorentz := (z*z - 1) / (z*z + 2)
		want := 6 * math.Pi * 1.47 / (nm * 1e-7) * imag(lorentz) / m.Density / 1000
		if math.Abs(o.MuA[b]/want-1) > 0.02 {
			t.Errorf("%g nm: μ_a %.4g, want %.4g", nm, o.MuA[b], want)
		}
	}
}

// S against exact transfer: the diffuse reflectance of a half-space that
// scatters isotropically is 1 − 2√(1−a) ∫H(µ)µ dµ with Chandrasekhar's
// H(µ), 1/H = √(1−a) + a/2 ∫ H(µ′)µ′/(µ+µ′) dµ′ (Radiative Transfer, ch. 5).
func TestScatteringMatchesRadiativeTransfer(t *testing.T) {
	for _, a := range []float64{0.999, 0.99, 0.95, 0.9, 0.7, 0.5, 0.3, 0.1, 0.02} {
		want := halfSpace(a)
		o := Optics{}
		o.K[0], o.S[0] = 2*(1-a), backscatter(a, 1-a)
		got := o.Masstone()[0]
		if math.Abs(got/want-1) > 0.004 {
			t.Errorf("albedo %g: R∞ %.5f, want %.5f", a, got, want)
		}
	}
	// Against it, the diffusion limit fails where absorption rules.
	half := Optics{}
	half.K[0], half.S[0] = 2*0.8, 0.75*0.2-0.25*0.8
	if half.S[0] >= 0 || halfSpace(0.2) < 0.04 {
		t.Error("at an albedo of 0.2 the diffusion limit should be negative and the true reflectance over 4 %")
	}
}

// halfSpace solves Chandrasekhar's equation by iteration on a midpoint grid in
// √µ, dense where H turns.
func halfSpace(albedo float64) float64 {
	const n = 400
	var mu, w, h [n]float64
	for i := range mu {
		u := (float64(i) + 0.5) / n
		mu[i], w[i], h[i] = u*u, 2*u/n, 1
	}
	root := math.Sqrt(1 - albedo)
	for range 400 {
		worst := 0.0
		for i := range mu {
			sum := 0.0
			for j := range mu {
				sum += w[j] * h[j] * mu[j] / (mu[i] + mu[j])
			}
			next := 1 / (root + albedo/2*sum)
			worst = max(worst, math.Abs(next-h[i]))
			h[i] = next
		}
		if worst < 1e-10 {
			break
		}
	}
	sum := 0.0
	for i := range mu {
		sum += w[i] * h[i] * mu[i]
	}
	return 1 - 2*root*sum
}

func TestDiffusionLimitIsReportedWhereRaised(t *testing.T) {
	black := usual(t, "magnetite")
	s, raised := black.DiffusionS()
	if raised == 0 {
		t.Error("black iron oxide: no band was below zero")
	}
	zero := 0
	for b := range s {
		if s[b] == 0 {
			zero++
		}
		if s[b] < 0 || black.S[b] <= 0 {
			t.Errorf("band %d: S %g and %g", b, s[b], black.S[b])
		}
	}
	if zero != raised {
		t.Errorf("%d bands at zero, %d reported", zero, raised)
	}
	white := usual(t, "rutile")
	s, raised = white.DiffusionS()
	if raised != 0 || s != white.S {
		t.Error("without absorption both are ¾ μ_s′")
	}
}

// The sizes taken are enough: ten times as many change K and S by under 2 %,
// most in titania, whose resonances are sharp.
func TestSizesConverged(t *testing.T) {
	worst := 0.0
	for _, grade := range Grades() {
		g := grade.Grain
		m, _ := constants.Find(g.Material)
		o, err := g.Optics()
		if err != nil {
			t.Fatal(err)
		}
		const many = 421
		for b := 0; b < colour.Bands; b += 7 {
			nm := colour.WavelengthNM(b)
			var muA, muS, total float64
			for i := range many {
				u := 5 * (2*float64(i)/(many-1) - 1)
				d := g.DiameterUM * math.Pow(g.GSD, u)
				share := math.Exp(-u * u / 2)
				e, err := mie.Sphere(math.Pi*d*1000*1.47/nm, m.Index(nm)/1.47)
				if err != nil {
					t.Fatal(err)
				}
				total += share
				muA += share * 15 / (d * m.Density) * e.Abs
				muS += share * 15 / (d * m.Density) * e.Sca * (1 - e.G)
			}
			muA, muS = muA/total, muS/total
			worst = max(worst, math.Abs(o.MuS[b]/muS-1))
			if muA > 0 {
				worst = max(worst, math.Abs(o.MuA[b]/muA-1))
			}
		}
	}
	t.Logf("largest error of the sizes taken: %.2g", worst)
	if worst > 0.02 {
		t.Errorf("the sizes taken miss by %.2g", worst)
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
	if _, err := Usual("silica"); err == nil {
		t.Error("silica has no usual grade")
	}
	// The corners that are accepted give finite numbers.
	for _, m := range constants.All() {
		for _, d := range []float64{0.01, 30} {
			for _, gsd := range []float64{1, 3} {
				o, err := Grain{Material: m.Name, DiameterUM: d, GSD: gsd, Binder: 1}.Optics()
				if err != nil {
					t.Fatal(err)
				}
				for b := range o.K {
					if !(o.K[b] >= 0 && o.S[b] >= 0 && o.K[b]+o.S[b] < 1e4) {
						t.Fatalf("%s, %g µm, GSD %g, band %d: K %g S %g", m.Name, d, gsd, b, o.K[b], o.S[b])
					}
				}
			}
		}
	}
}

func BenchmarkOptics(b *testing.B) {
	for _, g := range Grades() {
		b.Run(strings.ReplaceAll(g.Name, " ", "-"), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := g.Grain.Optics(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
