// Package fitconstants holds the fits behind the dispersion models of
// blend/flake/constants, as tests: each fits anew to measured things, prints
// coefficients and residuals, ready to be put into that package, and holds what is
// there to them.
//
//	TAWNY_DATA=FOLDER go test ./blend/flake/fitconstants -v
//
// optical-constants.csv has the header nm, rutile_o_n, anatase_n, anatase_k, and
// hematite_o_n, _o_k, _e_n, _e_k. Anatase becomes a one-term Sellmeier form,
// hematite the 2:1 mean of its ordinary and extraordinary n and k and then a
// sum of Lorentz oscillators. The starts come from a fixed seed, so the same
// table gives the same coefficients.
//
// pigment-masstones.csv (pigment,ci,L,a,b,geometry) and pigment-masstones-bands.csv
// (wavelength and a column of reflectances for each pigment that has them) are
// opaque films of ordinary pigments; what is uncertain in their constants is
// fitted to those through the film engine (masstone_test.go). pigment-in-epoxy.csv
// (wavelength,PW6 musp) is the scattering of titania per mass (titania_test.go).
package fitconstants

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"tawny/blend/flake/constants"
	"tawny/colour"
	"tawny/colour/leastsquares"
	"tawny/colour/table"
)

// openTable reads a table of the folder of data, without which the test is skipped.
func openTable(t *testing.T, name string) *table.File {
	folder := os.Getenv("TAWNY_DATA")
	if folder == "" {
		t.Skip("set TAWNY_DATA to the folder of " + name)
	}
	r, err := os.Open(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	f, err := table.Read(name, r, table.Kind{})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// read returns a table's columns of numbers by name.
func read(t *testing.T, name string) map[string][]float64 {
	f := openTable(t, name)
	columns := map[string][]float64{}
	for _, row := range f.Rows {
		for c, cell := range row.Fields {
			v, err := table.Number(cell, -1e4, 1e4)
			if err != nil {
				t.Fatal(f.Fault(row, c, err.Error(), "a number"))
			}
			columns[f.Header[c]] = append(columns[f.Header[c]], v)
		}
	}
	return columns
}

// readMasstones returns the opaque films by pigment.
func readMasstones(t *testing.T) map[string]*masstone {
	f, bands := openTable(t, "pigment-masstones.csv"), read(t, "pigment-masstones-bands.csv")
	films := map[string]*masstone{}
	for _, row := range f.Rows {
		name := f.Cell(row, "pigment")
		m := &masstone{geometry: colour.Geometry(f.Cell(row, "geometry")), at: map[int]float64{}}
		for column, to := range map[string]*float64{"L": &m.lab.L, "a": &m.lab.A, "b": &m.lab.B} {
			var err error
			if *to, err = table.Number(f.Cell(row, column), -200, 200); err != nil {
				t.Fatal(err)
			}
		}
		for i, r := range bands[name] {
			m.at[int(math.Round((bands["wavelength"][i]-colour.WavelengthNM(0))/10))] = r
		}
		films[name] = m
	}
	return films
}

func TestAnatase(t *testing.T) {
	data := read(t, "optical-constants.csv")
	nm, n := data["nm"], data["anatase_n"]
	residual := func(p, r []float64) {
		s := constants.Sellmeier{A: p[0], B: p[1], C: p[2]}
		for i := range nm {
			r[i] = s.N(nm[i]) - n[i]
		}
	}
	p := []float64{5, 0.2, 0.05}
	fit(residual, p, leastsquares.Settings{}, len(nm))
	r := make([]float64, len(nm))
	residual(p, r)
	t.Logf("Sellmeier{%.5f, %.6f, %.6f}  n rms %.4f max %.4f", p[0], p[1], p[2], rms(r), largest(r))
	committed, err := constants.Find("anatase")
	if err != nil {
		t.Fatal(err)
	}
	s := constants.Sellmeier{A: p[0], B: p[1], C: p[2]}
	for _, x := range nm {
		if d := s.N(x) - real(cmplx.Sqrt(committed.Epsilon(x))); math.Abs(d) > 1e-5 {
			t.Errorf("n at %g nm is fitted %g above what is committed", x, d)
		}
	}
}

func TestHematite(t *testing.T) {
	const count = 5 // oscillators
	data := read(t, "optical-constants.csv")
	nm := data["nm"]
	m := len(nm)
	n, k := make([]float64, m), make([]float64, m)
	for i := range nm {
		n[i] = (2*data["hematite_o_n"][i] + data["hematite_e_n"][i]) / 3
		k[i] = (2*data["hematite_o_k"][i] + data["hematite_e_k"][i]) / 3
	}
	residual := func(p, r []float64) {
		l := lorentz(p)
		for i := range nm {
			z := index(l.Epsilon(nm[i]))
			r[i], r[m+i] = real(z)-n[i], imag(z)-k[i]
		}
	}
	// Widths at least 0.15 eV, so that no oscillator hides between samples,
	// and amplitudes within ±3, so that no pair of them cancels to noise.
	bound := leastsquares.Settings{Low: []float64{1}, High: []float64{12}}
	for range count {
		bound.Low = append(bound.Low, -3, 1.2, 0.15)
		bound.High = append(bound.High, 3, 6, 3)
	}
	rng := rand.New(rand.NewPCG(1, 2))
	best, r := []float64(nil), make([]float64, 2*m)
	bestCost := math.Inf(1)
	for range 300 {
		p := []float64{4}
		for range count {
			p = append(p, rng.Float64(), 1.8+2.7*rng.Float64(), 0.2+rng.Float64())
		}
		fit(residual, p, bound, 2*m)
		residual(p, r)
		if c := rms(r); c < bestCost {
			best, bestCost = p, c
		}
	}
	residual(best, r)
	t.Logf("Infinity %.5f", best[0])
	for i := 1; i < len(best); i += 3 {
		t.Logf("{%.5f, %.5f, %.5f},", best[i], best[i+1], best[i+2])
	}
	t.Logf("n rms %.4f max %.4f, k rms %.4f max %.4f", rms(r[:m]), largest(r[:m]), rms(r[m:]), largest(r[m:]))
	for _, x := range nm {
		if d := cmplx.Abs(index(lorentz(best).Epsilon(x)) - index(constants.Querry.Epsilon(x))); d > 1e-4 {
			t.Errorf("n + ik at %g nm is %g from what is committed", x, d)
		}
	}
}

func lorentz(p []float64) constants.Lorentz {
	l := constants.Lorentz{Infinity: p[0]}
	for i := 1; i < len(p); i += 3 {
		l.Oscillators = append(l.Oscillators, constants.Oscillator{Amplitude: p[i], Energy: p[i+1], Width: p[i+2]})
	}
	return l
}

func rms(r []float64) float64 {
	s := 0.0
	for _, v := range r {
		s += v * v
	}
	return math.Sqrt(s / float64(len(r)))
}

func largest(r []float64) float64 {
	s := 0.0
	for _, v := range r {
		s = max(s, math.Abs(v))
	}
	return s
}

// index is the root of a dielectric function with k as printed.
func index(eps complex128) complex128 { return cmplx.Sqrt(eps) }

// fit moves p to a least sum of squares of the m residuals.
func fit(residual func(p, r []float64), p []float64, s leastsquares.Settings, m int) {
	var w leastsquares.Workspace
	// No error can come of residuals that have none.
	w.Minimise(&leastsquares.Residuals{Count: m, At: func(x, r []float64) error {
		residual(x, r)
		return nil
	}}, p, s)
}

func TestFitFindsWhatMadeTheData(t *testing.T) {
	truth := constants.Lorentz{Infinity: 3.2, Oscillators: []constants.Oscillator{
		{Amplitude: 1.4, Energy: 3.0, Width: 0.7}, {Amplitude: 0.3, Energy: 2.3, Width: 0.4},
	}}
	var nm []float64
	for x := 380.0; x <= 730; x += 10 {
		nm = append(nm, x)
	}
	residual := func(p, r []float64) {
		l := lorentz(p)
		for i := range nm {
			d := index(l.Epsilon(nm[i])) - index(truth.Epsilon(nm[i]))
			r[i], r[len(nm)+i] = real(d), imag(d)
		}
	}
	p := []float64{3, 1, 3.2, 0.5, 0.2, 2.2, 0.3}
	fit(residual, p, leastsquares.Settings{}, 2*len(nm))
	want := []float64{3.2, 1.4, 3.0, 0.7, 0.3, 2.3, 0.4}
	for i := range p {
		if math.Abs(p[i]-want[i]) > 1e-5 {
			t.Errorf("parameter %d is %.7f, want %g", i, p[i], want[i])
		}
	}
}
