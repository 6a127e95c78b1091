package flake

import (
	"math"
	"strings"
	"testing"

	"tawny/blend/flake/mie"
)

func TestFaceArea(t *testing.T) {
	// By hand: 400 nm × 2.82 + 2 × 75 nm × 4.23 = 1762.5 nm·g/cm³, so
	// 1e4/1762.5 = 5.674 cm²/mg at bulk density; plain mica 1e4/1128 = 8.865.
	f := New(Layer{"rutile", 75})
	f.CoatPacking = 1
	o, err := f.Optics()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rutile 75 nm", o.FaceArea, 5.674, 0.001)
	o, _ = New().Optics()
	near(t, "plain mica", o.FaceArea, 8.865, 0.001)
	for _, l := range []Layer{{"rutile", 50}, {"rutile", 75}, {"rutile", 120}, {"hematite", 42}} {
		o, err := New(l).Optics()
		if err != nil {
			t.Fatal(err)
		}
		if a := o.FaceArea; a < 4.5 || a > 7.2 {
			t.Errorf("%s: %.2f cm²/mg, want about 5 to 7", FormatLayers([]Layer{l}), a)
		}
	}
	// Gold at 5 % and 2 mg/cm²: 0.1 mg/cm² is 57 to 58 % of the skin in faces.
	o, _ = f.Optics()
	near(t, "face area at 0.1 mg/cm²", 0.1*o.FaceArea, 0.57, 0.01)
}

func TestOpticsIsAreaTimesAverage(t *testing.T) {
	f := New(Layer{"hematite", 42})
	o, err := f.Optics()
	if err != nil {
		t.Fatal(err)
	}
	r, _, a, err := f.Incoming()
	if err != nil {
		t.Fatal(err)
	}
	for b := range r {
		near(t, "S", o.S[b], r[b]*o.FaceArea, 1e-15)
		near(t, "K", o.K[b], a[b]*o.FaceArea, 1e-15)
	}
	table, err := f.Table()
	if err != nil {
		t.Fatal(err)
	}
	for b := range r {
		near(t, "S by the table", table.S[b], o.S[b], 1e-8)
		near(t, "K by the table", table.K[b], o.K[b], 1e-8)
	}
	cosines, _ := Incidences(DefaultBinder)
	for _, i := range []int{0, GrazingCosines, len(cosines) - 1} {
		r, tr, _, _ := f.At(math.Acos(cosines[i]) * 180 / math.Pi)
		near(t, "R", table.R[i][17], r[17], 1e-12)
		near(t, "T", table.T[i][17], tr[17], 1e-12)
	}
}

func TestZeroFlakeIsPlainMica(t *testing.T) {
	var zero Flake
	r, _, _, err := zero.At(0)
	if err != nil {
		t.Fatal(err)
	}
	plain := New()
	plain.SubstrateSpreadNM = 0
	want, _, _, _ := plain.At(0)
	if r != want {
		t.Error("the zero Flake is not plain mica of 400 nm in a binder of 1.47")
	}
}

func TestErrorsNameTheField(t *testing.T) {
	nan := math.NaN()
	with := func(change func(*Flake)) Flake {
		f := New(Layer{"rutile", 75})
		change(&f)
		return f
	}
	for _, c := range []struct {
		f    Flake
		want string
	}{
		{with(func(f *Flake) { f.SubstrateNM = -1 }), "substrate"},
		{with(func(f *Flake) { f.SubstrateNM = nan }), "substrate"},
		{with(func(f *Flake) { f.SubstrateNM = math.Inf(1) }), "substrate"},
		{with(func(f *Flake) { f.SubstrateSpreadNM = 300 }), "spread"},
		{with(func(f *Flake) { f.SubstrateSpreadNM = nan }), "spread"},
		{with(func(f *Flake) { f.CoatSpread = 0.5 }), "coat spread"},
		{with(func(f *Flake) { f.Binder = 1.6 }), "binder"},
		{with(func(f *Flake) { f.Binder = nan }), "binder"},
		{with(func(f *Flake) { f.CoatPacking = 1.1 }), "packing"},
		{with(func(f *Flake) { f.CoatPacking = nan }), "packing"},
		{with(func(f *Flake) { f.Coats[0].ThicknessNM = -5 }), "thickness"},
		{with(func(f *Flake) { f.Coats[0].ThicknessNM = nan }), "thickness"},
		{with(func(f *Flake) { f.Coats[0].Material = "rutille" }), "did you mean rutile?"},
		{with(func(f *Flake) { f.Coats = make([]Layer, 9) }), "coats"},
		{New(Layer{"rutile", 1500}, Layer{"silica", 1500}), "add up"},
	} {
		_, err := c.f.Optics()
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: error %v, want one that says %q", c.f, err, c.want)
		}
		if _, err := c.f.Table(); err == nil {
			t.Errorf("%+v: Table accepted it", c.f)
		}
	}
	for _, deg := range []float64{-1, 90, 180, nan, math.Inf(1)} {
		if _, _, _, err := New().At(deg); err == nil {
			t.Errorf("angle %g was accepted", deg)
		}
	}
}

// Chosen nodes against a much denser quadrature: R and T within 1e-4 at an
// angle and over the incoming light.
func TestQuadratureConverged(t *testing.T) {
	worst := 0.0
	for _, f := range []Flake{
		New(), New(Layer{"rutile", 50}), New(Layer{"rutile", 75}), New(Layer{"rutile", 90}),
		New(Layer{"rutile", 150}), New(Layer{"rutile", 300}), New(Layer{"hematite", 42}), New(Layer{"hematite", 75}),
		New(Layer{"rutile", 75}, Layer{"hematite", 20}), New(Layer{"silica", 300}, Layer{"rutile", 60}),
		New(Layer{"tin oxide", 10}, Layer{"rutile", 130}, Layer{"silica", 90}, Layer{"rutile", 60}),
		{Coats: []Layer{{"rutile", 75}}, SubstrateNM: 500, CoatSpread: 0.05},
		{Coats: []Layer{{"rutile", 120}}, SubstrateNM: 2000, SubstrateSpreadNM: 10, CoatSpread: 0.2},
		{Coats: []Layer{{"hematite", 60}}, SubstrateNM: 400, SubstrateSpreadNM: 50, Binder: 1.0, CoatSpread: 0.3},
	} {
		p, err := f.prepare()
		if err != nil {
			t.Fatal(err)
		}
		dense := *p
		if f.CoatSpread > 0 && len(f.Coats) > 0 {
			for b := range dense.scales {
				dense.scales[b] = denseLognormal(f.CoatSpread)
			}
		}
		most := 1 / (p.binder * p.binder)
		for _, c := range []struct {
			name         string
			chosen, fine rule
		}{
			{"incoming", p.incoming(), cosines(most, 60)},
			{"0°", single(1), single(1)},
		} {
			got, gotT := p.average(c.chosen)
			want, wantT := dense.average(c.fine)
			for b := range got {
				d := max(math.Abs(got[b]-want[b]), math.Abs(gotT[b]-wantT[b]))
				worst = max(worst, d)
				if d > 1e-4 {
					t.Errorf("%s, %s, band %d: off by %.2g (%d angles, %d coats)", FormatLayers(f.Coats), c.name, b, d, len(c.chosen.node), len(p.scales[b].node))
					break
				}
			}
		}
	}
	t.Logf("largest quadrature error in R and T: %.2g", worst)
}

// Moments a rule of n nodes must have exactly: of directions to degree 2n − 2 in
// cos θ, Hermite the normal's 1, 3, 15 at degrees 2, 4, 6.
func TestRulesIntegrateMoments(t *testing.T) {
	for n := 1; n <= 120; n++ {
		r := cosines(1, n)
		for _, degree := range []int{0, 1, 2, 3, 2*n - 3, 2*n - 2} {
			if degree < 0 || degree > 2*n-2 {
				continue
			}
			sum := 0.0
			for i, x := range r.node {
				sum += r.weight[i] * math.Pow(x, float64(degree))
			}
			near(t, "directions", sum, 2/float64(degree+2), 1e-13)
		}
	}
	for n, r := range hermite() {
		for degree, want := range map[int]float64{0: 1, 1: 0, 2: 1, 3: 0, 4: 3, 6: 15} {
			if n == 0 || degree > 2*n-1 {
				continue
			}
			sum := 0.0
			for i, x := range r.node {
				sum += r.weight[i] * math.Pow(x, float64(degree))
			}
			near(t, "Hermite", sum, want, 1e-12)
		}
	}
	// sin²θ uniform over 0 to u has the mean u/2.
	for _, u := range []float64{0.1, 1 / (1.47 * 1.47), 1} {
		mean := 0.0
		c := cosines(u, 6)
		for i, x := range c.node {
			mean += c.weight[i] * (1 - x*x)
		}
		near(t, "mean sin²θ", mean, u/2, 1e-14)
	}
}

// denseLognormal is a trapezoidal rule of 97 nodes over ±6.
func denseLognormal(spread float64) rule {
	s := math.Sqrt(math.Log1p(spread * spread))
	r := rule{make([]float64, 97), make([]float64, 97)}
	sum := 0.0
	for i := range r.node {
		x := float64(i-48) / 8
		r.node[i], r.weight[i] = math.Exp(s*x-s*s/2), math.Exp(-x*x/2)
		sum += r.weight[i]
	}
	for i := range r.weight {
		r.weight[i] /= sum
	}
	return r
}

func TestBruggeman(t *testing.T) {
	one, two := complex(7.5, 0), complex(2.16, 0)
	if got := bruggeman(one, two, 1); got != one {
		t.Errorf("nothing but the first: %v", got)
	}
	// It satisfies its own equation and lies between the parts.
	for _, eps := range []complex128{one, complex(9, 5), complex(3, 7)} {
		for _, share := range []float64{0.31, 0.5, 0.9, 0.99} {
			m := bruggeman(eps, two, share)
			left := complex(share, 0)*(eps-m)/(eps+2*m) + complex(1-share, 0)*(two-m)/(two+2*m)
			if mie.Norm(left) > 1e-28 || imag(m) < 0 || imag(m) > imag(eps) {
				t.Errorf("ε %v at %g: %v leaves %v", eps, share, m, left)
			}
		}
	}
	if m := real(bruggeman(one, two, 0.5)); m < 2.16 || m > 7.5 {
		t.Errorf("half and half is %g", m)
	}
}

// One powder's optics at every incidence.
func BenchmarkOptics(b *testing.B) {
	for _, text := range []string{"", "rutile:75", "hematite:42", "rutile:75+hematite:20", "rutile:100+silica:120+rutile:60"} {
		name := text
		if name == "" {
			name = "plain"
		}
		b.Run(name, func(b *testing.B) {
			layers, err := ParseLayers(text)
			if err != nil {
				b.Fatal(err)
			}
			f := New(layers...)
			b.ReportAllocs()
			for b.Loop() {
				if _, err := f.Table(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// A palette of 40 coated powders, as at start-up, on one core.
func BenchmarkPaletteOf40(b *testing.B) {
	var flakes []Flake
	for i := range 40 {
		switch {
		case i < 24:
			flakes = append(flakes, New(Layer{"rutile", 40 + 5*float64(i)}))
		case i < 34:
			flakes = append(flakes, New(Layer{"hematite", 30 + 4*float64(i-24)}))
		default:
			flakes = append(flakes, New(Layer{"rutile", 60 + 5*float64(i-34)}, Layer{"hematite", 10}))
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		for _, f := range flakes {
			if _, err := f.Table(); err != nil {
				b.Fatal(err)
			}
		}
	}
}
