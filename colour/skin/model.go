package skin

import (
	"bytes"
	_ "embed"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"sync"

	"tawny/colour"
	"tawny/colour/table"
)

// The model's terms: a constant, a slope along each of L*, a* and b*, and a
// bump at each point of a lattice that covers measured skin. A bump is one at
// its point and falls off as exp(−½ Σ (distance/width)²).
var (
	latticeL = [4]float64{25, 40, 55, 70}
	latticeA = [3]float64{4, 10, 16}
	latticeB = [3]float64{6, 14, 22}
	width    = colour.Lab{L: 15, A: 6, B: 8}
	middle   = colour.Lab{L: 48, A: 10, B: 14}
)

// How many terms there are, the first Slopes of them not bumps.
const (
	Slopes = 4
	Terms  = Slopes + 4*3*3
)

// TermsOf returns what each term is at a colour (D65/2, gloss included).
func TermsOf(c colour.Lab) (t [Terms]float64) {
	t[0] = 1
	t[1] = (c.L - middle.L) / width.L
	t[2] = (c.A - middle.A) / width.A
	t[3] = (c.B - middle.B) / width.B
	l, a, b := bumps(latticeL[:], c.L, width.L), bumps(latticeA[:], c.A, width.A), bumps(latticeB[:], c.B, width.B)
	n := Slopes
	for i := range latticeL {
		for j := range latticeA {
			for k := range latticeB {
				t[n] = l[i] * a[j] * b[k]
				n++
			}
		}
	}
	return t
}

func bumps(at []float64, x, width float64) (e [4]float64) {
	for i, p := range at {
		d := (x - p) / width
		e[i] = math.Exp(-d * d / 2)
	}
	return e
}

// Lattice returns the points of the bumps, in the order of the terms.
func Lattice() []colour.Lab {
	var points []colour.Lab
	for _, l := range latticeL {
		for _, a := range latticeA {
			for _, b := range latticeB {
				points = append(points, colour.Lab{L: l, A: a, B: b})
			}
		}
	}
	return points
}

// Model predicts ln K/S of skin from its colour; see the package
// documentation.
type Model struct {
	Coefficient [Terms]colour.Spectrum // ln K/S per unit of each term
	Readings    [Classes]int           // how many of each class it was fitted to
}

// Mean returns ln K/S of the usual skin of a colour (D65/2, gloss included).
// Its own colour is near c; [Model.Reflectance] makes it exactly c.
func (m *Model) Mean(c colour.Lab) (y colour.Spectrum) {
	for n, t := range TermsOf(c) {
		for i, k := range &m.Coefficient[n] {
			y[i] += t * k
		}
	}
	return y
}

//go:embed model.csv
var modelCSV []byte

// standard returns the model every reading is solved in. Its file is compiled
// in, so a fault in it is a fault of the build.
var standard = sync.OnceValue(func() *Model {
	m, err := readModel(bytes.NewReader(modelCSV))
	if err != nil {
		panic(err)
	}
	return &m
})

// modelKind is the model's file: a row a band, a column a term.
var modelKind = table.Kind{Header: modelHeader()}

func modelHeader() []string {
	h := []string{"wavelength", "constant", "L", "a", "b"}
	for _, p := range Lattice() {
		h = append(h, fmt.Sprintf("%g/%g/%g", p.L, p.A, p.B))
	}
	return h
}

// readModel reads a fitted model.
func readModel(r io.Reader) (m Model, err error) {
	f, err := table.Read("model.csv", r, modelKind)
	if err != nil {
		return Model{}, err
	}
	if len(f.Rows) != colour.Bands {
		return Model{}, fmt.Errorf("model.csv: %d bands; %d are accepted", len(f.Rows), colour.Bands)
	}
	for band, row := range f.Rows {
		for k, text := range row.Fields {
			x, err := table.Finite(text)
			switch {
			case err != nil:
				return Model{}, f.Fault(row, k, fmt.Sprintf("%q %v", table.Clip(text), err), "a finite number")
			case k > 0:
				m.Coefficient[k-1][band] = x
			case x != colour.WavelengthNM(band):
				return Model{}, f.Fault(row, k, fmt.Sprintf("%g nm in row %d", x, band+1), "the grid's bands in order")
			}
		}
	}
	readings, _ := f.Key("readings")
	counts := strings.Split(readings.Value, ",")
	if len(counts) != len(m.Readings) {
		return Model{}, f.KeyFault(readings, fmt.Sprintf("%d numbers", len(counts)), "one a class")
	}
	for i, text := range counts {
		if m.Readings[i], err = strconv.Atoi(text); err != nil {
			return Model{}, f.KeyFault(readings, fmt.Sprintf("it is %q", table.Clip(readings.Value)), "whole numbers")
		}
	}
	return m, nil
}
