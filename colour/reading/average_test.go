package reading

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"tawny/colour"
)

// Readings scattered with a known σ about a known colour give it back: of n
// normal readings the sample σ has a standard error of σ/√(2(n−1)).
func TestAverageOfScatter(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	const n = 2000
	want, sigma := colour.Lab{L: 60, A: 11, B: 15}, colour.Lab{L: 0.4, A: 0.2, B: 0.3}
	readings := make([]colour.Reading, n)
	for i := range readings {
		readings[i] = colour.Reading{Viewing: colour.D65, Lab: colour.Lab{
			L: want.L + sigma.L*r.NormFloat64(), A: want.A + sigma.A*r.NormFloat64(), B: want.B + sigma.B*r.NormFloat64()}}
	}
	m, err := Average(readings)
	if err != nil {
		t.Fatal(err)
	}
	if m.N != n || colour.DeltaE76(m.Lab, want) > 4*sigma.L/math.Sqrt(n) {
		t.Errorf("mean %v of %d, want %v", m.Lab, m.N, want)
	}
	for _, c := range [][2]float64{{m.Sigma.L, sigma.L}, {m.Sigma.A, sigma.A}, {m.Sigma.B, sigma.B}} {
		if math.Abs(c[0]/c[1]-1) > 4/math.Sqrt(2*n) {
			t.Errorf("σ %g, want %g", c[0], c[1])
		}
	}
	if se := m.SE(); math.Abs(se.L-m.Sigma.L/math.Sqrt(n)) > 1e-15 {
		t.Errorf("SE %v", se)
	}
	furthest := 0.0
	for _, r := range readings {
		furthest = max(furthest, colour.DeltaE00(r.Lab, m.Lab))
	}
	if furthest != m.FurthestDeltaE || furthest <= m.DeltaE {
		t.Errorf("furthest %g, told %g, mean %g", furthest, m.FurthestDeltaE, m.DeltaE)
	}
}

func TestAverageByHand(t *testing.T) {
	lab := func(l, a, b float64) colour.Reading { return colour.Reading{Lab: colour.Lab{L: l, A: a, B: b}} }
	m, err := Average([]colour.Reading{lab(59, 1, 2), lab(61, 1, 4)})
	if err != nil {
		t.Fatal(err)
	}
	// Two readings d apart have σ = d/√2.
	if m.Lab != (colour.Lab{L: 60, A: 1, B: 3}) || math.Abs(m.Sigma.L-math.Sqrt2) > 1e-12 || m.Sigma.A != 0 || math.Abs(m.Sigma.B-math.Sqrt2) > 1e-12 {
		t.Errorf("%+v", m)
	}
	one, err := Average([]colour.Reading{lab(59, 1, 2)})
	if err != nil || one.Sigma != (colour.Lab{}) || one.DeltaE != 0 || one.N != 1 {
		t.Errorf("%+v, %v", one, err)
	}
}

// With spectra the mean spectrum is kept and is what L*a*b* belongs to.
func TestAverageOfSpectra(t *testing.T) {
	readings := []colour.Reading{
		{Viewing: colour.D65, Spectrum: spectrum(0), Lab: colour.D65.Lab(spectrum(0))},
		{Viewing: colour.D65, Spectrum: spectrum(2), Lab: colour.D65.Lab(spectrum(2))},
	}
	m, err := Average(readings)
	if err != nil {
		t.Fatal(err)
	}
	for i := range m.Spectrum {
		if want := (spectrum(0)[i] + spectrum(2)[i]) / 2; math.Abs(m.Spectrum[i]-want) > 1e-15 {
			t.Fatalf("band %d: %g, want %g", i, m.Spectrum[i], want)
		}
	}
	if m.Lab != colour.D65.Lab(m.Spectrum) {
		t.Errorf("L*a*b* %v is not that of the mean spectrum", m.Lab)
	}
	readings[1].Spectrum = nil
	if m, err = Average(readings); err != nil || m.Spectrum != nil {
		t.Errorf("one without a spectrum: %v, %v", m.Spectrum, err)
	}
}

func TestAverageRefusesUnlike(t *testing.T) {
	l, _ := colour.FindIlluminant("A")
	a := colour.NewViewing(l, colour.CIE1931)
	base := colour.Reading{Lab: colour.Lab{L: 50}, Viewing: colour.D65}
	gloss, other, broken := base, base, base
	gloss.Geometry = colour.DE
	other.Viewing = a
	broken.Lab.L = math.NaN()
	for _, c := range []struct {
		readings []colour.Reading
		want     string
	}{{nil, "no readings"}, {[]colour.Reading{base, gloss}, "reading 2"}, {[]colour.Reading{base, base, other}, "reading 3"}, {[]colour.Reading{broken}, "finite"}} {
		if _, err := Average(c.readings); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
	// The same light made twice is the same light.
	again := other
	again.Viewing = colour.NewViewing(l, colour.CIE1931)
	if _, err := Average([]colour.Reading{other, again}); err != nil {
		t.Error(err)
	}
}
