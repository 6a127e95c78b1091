package colour

import (
	_ "embed"
	"fmt"
	"strings"
)

// Observer is one of the two CIE standard colorimetric observers.
type Observer int

// The standard observers: 2° for small fields (a swatch at arm's length), 10°
// for large ones. ISO/CIE 11664-1.
const (
	CIE1931 Observer = iota // 2°
	CIE1964                 // 10°
)

// String returns "2" or "10", the field size in degrees.
func (o Observer) String() string {
	if o == CIE1964 {
		return "10"
	}
	return "2"
}

// ParseObserver reads "2" or "10", with or without a degree sign.
func ParseObserver(text string) (Observer, error) {
	switch strings.TrimSuffix(strings.TrimSpace(text), "°") {
	case "2":
		return CIE1931, nil
	case "10":
		return CIE1964, nil
	}
	return 0, fmt.Errorf("observer %q is not known; 2 or 10 is accepted", text)
}

//go:embed data/observers.csv
var observersCSV []byte

// The 5 nm colour matching functions, 360 to 830 nm, [observer][x,y,z][sample].
const (
	cmfFirstNM = 360
	cmfStepNM  = 5
	cmfCount   = 95
)

var cmf = readObservers()

func readObservers() (f [2][3][cmfCount]float64) {
	rows := mustTable("observers.csv", observersCSV, 7)
	if len(rows) != cmfCount {
		panic(fmt.Sprintf("observers.csv: %d rows, want %d", len(rows), cmfCount))
	}
	for i, row := range rows {
		for c := 0; c < 6; c++ {
			f[c/3][c%3][i] = row[c+1]
		}
	}
	return f
}

// cmfAt returns x̄, ȳ, z̄ at a whole nanometre. Between the 5 nm samples it is
// the four-point Lagrange cubic, which CIE 15 §7.2.1 names among its
// interpolations, and at them it is they.
func cmfAt(o Observer, nm int) (x [3]float64) {
	k := min(max((nm-cmfFirstNM)/cmfStepNM, 1), cmfCount-3)
	w := lagrange4(float64(nm-cmfFirstNM)/cmfStepNM - float64(k))
	for c := range x {
		f := &cmf[o][c]
		x[c] = w[0]*f[k-1] + w[1]*f[k] + w[2]*f[k+1] + w[3]*f[k+2]
	}
	return x
}

// lagrange4 returns the weights of samples at −1, 0, 1, 2 for a point at t.
func lagrange4(t float64) [4]float64 {
	return [4]float64{
		-t * (t - 1) * (t - 2) / 6,
		(t + 1) * (t - 1) * (t - 2) / 2,
		-(t + 1) * t * (t - 2) / 2,
		(t + 1) * t * (t - 1) / 6,
	}
}
