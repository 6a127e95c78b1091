package main

import (
	"math"
	"strings"
	"testing"

	"tawny/blend/flake/constants"
	"tawny/colour/leastsquares"
)

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

func TestRunRefusesBadInput(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{nil, "usage"},
		{[]string{"no-such-table.csv"}, "no such file"},
		{[]string{"main.go"}, "main.go"},
	} {
		if err := run(c.args); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %v, want %q", c.args, err, c.want)
		}
	}
}
