// Fitconstants fits the dispersion models of blend/flake/constants to a table
// of optical constants and prints coefficients and residuals, ready to be put
// into that package:
//
//	go run ./blend/flake/fitconstants optical-constants.csv
//
// The table has the header nm, rutile_o_n, anatase_n, anatase_k, and
// hematite_o_n, _o_k, _e_n, _e_k. Anatase becomes a one-term Sellmeier form,
// hematite the 2:1 mean of its ordinary and extraordinary n and k and then a
// sum of Lorentz oscillators. The starts come from a fixed seed, so the same
// table gives the same coefficients.
package main

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/mat"

	"tawny/blend/flake/constants"
	"tawny/colour/leastsquares"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "fitconstants:", err)
		os.Exit(2)
	}
}

func run(args []string) error {
	if len(args) != 1 {
		return fmt.Errorf("usage: fitconstants TABLE.csv")
	}
	table, err := read(args[0])
	if err != nil {
		return err
	}
	fitAnatase(table)
	fitHematite(table, 5)
	return nil
}

// read returns the table's columns by name.
func read(path string) (map[string][]float64, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if len(rows) < 2 {
		return nil, fmt.Errorf("%s: no rows", path)
	}
	table := map[string][]float64{}
	for i, row := range rows[1:] {
		for j, cell := range row {
			v, err := strconv.ParseFloat(strings.TrimSpace(cell), 64)
			if err != nil {
				return nil, fmt.Errorf("%s: row %d, %s: %q is not a number", path, i+1, rows[0][j], cell)
			}
			table[rows[0][j]] = append(table[rows[0][j]], v)
		}
	}
	for _, want := range []string{"nm", "anatase_n", "hematite_o_n", "hematite_o_k", "hematite_e_n", "hematite_e_k"} {
		if table[want] == nil {
			return nil, fmt.Errorf("%s: no column %s", path, want)
		}
	}
	return table, nil
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
