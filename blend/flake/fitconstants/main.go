// Fitconstants fits the dispersion models of blend/flake/constants to measured
// things and prints coefficients and residuals, ready to be put into that package:
//
//	go run ./blend/flake/fitconstants FOLDER
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
// fitted to those through the film engine (masstone.go). pigment-in-epoxy.csv
// (wavelength,PW6 musp) is the scattering of titania per mass (titania.go).
package main

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"path/filepath"

	"gonum.org/v1/gonum/mat"

	"tawny/blend/flake/constants"
	"tawny/colour"
	"tawny/colour/leastsquares"
	"tawny/colour/table"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "fitconstants:", err)
		os.Exit(2)
	}
}

func run(args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("usage: fitconstants FOLDER")
	}
	indices, err := read(filepath.Join(args[0], "optical-constants.csv"))
	if err != nil {
		return err
	}
	fitAnatase(indices)
	fitHematite(indices, 5)
	epoxy, err := read(filepath.Join(args[0], "pigment-in-epoxy.csv"))
	if err != nil {
		return err
	}
	if err := fitTitania(epoxy); err != nil {
		return err
	}
	films, err := readMasstones(args[0])
	if err != nil {
		return err
	}
	for i := range paints {
		if err := paints[i].fit(films[paints[i].name]); err != nil {
			return err
		}
	}
	return nil
}

// read returns a table's columns of numbers by name.
func read(path string) (map[string][]float64, error) {
	f, err := openTable(path)
	if err != nil {
		return nil, err
	}
	columns := map[string][]float64{}
	for _, row := range f.Rows {
		for c, cell := range row.Fields {
			v, err := table.Number(cell, -1e4, 1e4)
			if err != nil {
				return nil, f.Fault(row, c, err.Error(), "a number")
			}
			columns[f.Header[c]] = append(columns[f.Header[c]], v)
		}
	}
	return columns, nil
}

func openTable(path string) (*table.File, error) {
	r, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer r.Close()
	return table.Read(path, r, table.Kind{})
}

// readMasstones returns the opaque films by pigment.
func readMasstones(folder string) (map[string]*masstone, error) {
	f, err := openTable(filepath.Join(folder, "pigment-masstones.csv"))
	if err != nil {
		return nil, err
	}
	bands, err := read(filepath.Join(folder, "pigment-masstones-bands.csv"))
	if err != nil {
		return nil, err
	}
	films := map[string]*masstone{}
	for _, row := range f.Rows {
		name := f.Cell(row, "pigment")
		m := &masstone{geometry: colour.Geometry(f.Cell(row, "geometry")), at: map[int]float64{}}
		for column, to := range map[string]*float64{"L": &m.lab.L, "a": &m.lab.A, "b": &m.lab.B} {
			if *to, err = table.Number(f.Cell(row, column), -200, 200); err != nil {
				return nil, fmt.Errorf("%s:%d: %s: %w", f.Name, row.Line, column, err)
			}
		}
		for i, r := range bands[name] {
			m.at[int(math.Round((bands["wavelength"][i]-colour.WavelengthNM(0))/10))] = r
		}
		films[name] = m
	}
	for _, p := range paints {
		if films[p.name] == nil {
			return nil, fmt.Errorf("%s: no row %s", f.Name, p.name)
		}
	}
	return films, nil
}

func fitAnatase(t map[string][]float64) {
	nm, n := t["nm"], t["anatase_n"]
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
	fmt.Printf("anatase: Sellmeier{%.5f, %.6f, %.6f}  n rms %.4f max %.4f\n", p[0], p[1], p[2], rms(r), largest(r))
}

func fitHematite(t map[string][]float64, count int) {
	nm := t["nm"]
	m := len(nm)
	n, k := make([]float64, m), make([]float64, m)
	for i := range nm {
		n[i] = (2*t["hematite_o_n"][i] + t["hematite_e_n"][i]) / 3
		k[i] = (2*t["hematite_o_k"][i] + t["hematite_e_k"][i]) / 3
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
	fmt.Printf("hematite: Infinity %.5f\n", best[0])
	for i := 1; i < len(best); i += 3 {
		fmt.Printf("\t{%.5f, %.5f, %.5f},\n", best[i], best[i+1], best[i+2])
	}
	fmt.Printf("  n rms %.4f max %.4f, k rms %.4f max %.4f\n", rms(r[:m]), largest(r[:m]), rms(r[m:]), largest(r[m:]))
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
	w.Minimise(&leastsquares.Residuals{Count: m, At: func(x, r []float64, _ *mat.Dense) error {
		residual(x, r)
		return nil
	}}, p, s)
}
