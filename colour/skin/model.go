package skin

import (
	"bufio"
	"bytes"
	_ "embed"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"sync"

	"tawny/colour"
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
// in, so a fault in it is a fault of the build. It is read when first wanted,
// so that the fit program, which remakes it, does not need it.
var standard = sync.OnceValue(func() *Model {
	m, err := ReadModel(bytes.NewReader(modelCSV))
	if err != nil {
		panic("model.csv: " + err.Error())
	}
	return &m
})

// Standard returns the model that is built in.
func Standard() Model { return *standard() }

var modelHeader = func() string {
	h := "wavelength,constant,L,a,b"
	for _, p := range Lattice() {
		h += fmt.Sprintf(",%g/%g/%g", p.L, p.A, p.B)
	}
	return h
}()

// Write writes the model as the file ReadModel reads; note is its first line.
func (m *Model) Write(w io.Writer, note string) error {
	var b bytes.Buffer
	counts := make([]string, Classes)
	for i, n := range m.Readings {
		counts[i] = strconv.Itoa(n)
	}
	fmt.Fprintf(&b, "# %s\n# readings: %s\n%s\n", note, strings.Join(counts, ","), modelHeader)
	for i := range colour.Bands {
		fmt.Fprintf(&b, "%g", colour.WavelengthNM(i))
		for n := range m.Coefficient {
			fmt.Fprintf(&b, ",%.4f", m.Coefficient[n][i])
		}
		b.WriteByte('\n')
	}
	_, err := w.Write(b.Bytes())
	return err
}

// ReadModel reads a fitted model: '# key: value' lines, the header and one row
// a band, a column a term.
func ReadModel(r io.Reader) (Model, error) {
	var m Model
	scan := bufio.NewScanner(r)
	band, headed := 0, false
	for n := 1; scan.Scan(); n++ {
		line := scan.Text()
		var err error
		switch {
		case strings.HasPrefix(line, "#"):
			key, value, _ := strings.Cut(strings.TrimPrefix(line, "#"), ":")
			if strings.TrimSpace(key) == "readings" {
				err = m.setReadings(value)
			}
		case !headed:
			if headed = true; line != modelHeader {
				err = fmt.Errorf("header is %q; %s is accepted", line, modelHeader)
			}
		default:
			var v [1 + Terms]float64
			if err = numbers(line, v[:]); err != nil {
				break
			}
			if band >= colour.Bands || v[0] != colour.WavelengthNM(band) {
				err = fmt.Errorf("wavelength %g nm in row %d; the grid's %d bands in order are accepted", v[0], band+1, colour.Bands)
				break
			}
			for k := range m.Coefficient {
				m.Coefficient[k][band] = v[1+k]
			}
			band++
		}
		if err != nil {
			return Model{}, fmt.Errorf("line %d: %w", n, err)
		}
	}
	if err := scan.Err(); err != nil {
		return Model{}, err
	}
	if band != colour.Bands {
		return Model{}, fmt.Errorf("%d bands; %d are accepted", band, colour.Bands)
	}
	return m, nil
}

func (m *Model) setReadings(value string) error {
	var v [Classes]float64
	err := numbers(value, v[:])
	for i := range v {
		m.Readings[i] = int(v[i])
	}
	return err
}

// numbers reads exactly len(into) finite numbers separated by commas.
func numbers(s string, into []float64) error {
	fields := strings.Split(s, ",")
	if len(fields) != len(into) {
		return fmt.Errorf("%d numbers; %d are accepted", len(fields), len(into))
	}
	for i, f := range fields {
		x, err := strconv.ParseFloat(strings.TrimSpace(f), 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Errorf("%q is not a finite number", f)
		}
		into[i] = x
	}
	return nil
}
