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

// Model is the mean and the three components of ln K/S below the skin's
// surface, as fitted; see the package documentation.
type Model struct {
	Mean      colour.Spectrum    // ln K/S
	Component [3]colour.Spectrum // ln K/S for each standard deviation
	Low, High [3]float64         // least and greatest score of the fitted subjects
	Subjects  [Classes]int       // fitted subjects of each class
	Hue       HueCurve           // for the undertone
}

// At returns the reflectance at the given scores (standard deviations),
// specular included or excluded.
func (m *Model) At(scores [3]float64, excluded bool) colour.Spectrum {
	surface := Surface
	if excluded {
		surface = 0
	}
	var r colour.Spectrum
	for i := range r {
		sub, _ := fromLogKS(m.logKS(i, &scores))
		r[i] = surface + sub
	}
	return r
}

func (m *Model) logKS(band int, s *[3]float64) float64 {
	return m.Mean[band] + s[0]*m.Component[0][band] + s[1]*m.Component[1][band] + s[2]*m.Component[2][band]
}

// Inside reports whether scores lie within the range of the fitted subjects,
// each by itself. A skin outside is extrapolated.
func (m *Model) Inside(scores [3]float64) bool {
	for k, s := range scores {
		if s < m.Low[k] || s > m.High[k] {
			return false
		}
	}
	return true
}

// distance returns how many standard deviations scores lie from the mean, all
// three together (Mahalanobis).
func distance(s [3]float64) float64 { return math.Sqrt(s[0]*s[0] + s[1]*s[1] + s[2]*s[2]) }

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

const modelHeader = "wavelength,mean,c1,c2,c3"

// Write writes the model as the file ReadModel reads; note is its first line.
func (m *Model) Write(w io.Writer, note string) error {
	var b bytes.Buffer
	fmt.Fprintf(&b, "# %s\n", note)
	fmt.Fprintf(&b, "# low: %s\n# high: %s\n", list(m.Low[:]), list(m.High[:]))
	counts := make([]string, Classes)
	for i, n := range m.Subjects {
		counts[i] = strconv.Itoa(n)
	}
	fmt.Fprintf(&b, "# subjects: %s\n", strings.Join(counts, ","))
	h := m.Hue
	fmt.Fprintf(&b, "# hue: %s\n%s\n", list([]float64{h.Low, h.High, h.AtLow, h.AtHigh}), modelHeader)
	for i := range m.Mean {
		fmt.Fprintf(&b, "%g,%s\n", colour.WavelengthNM(i),
			list([]float64{m.Mean[i], m.Component[0][i], m.Component[1][i], m.Component[2][i]}))
	}
	_, err := w.Write(b.Bytes())
	return err
}

// list writes numbers to six significant digits, which holds R to 1e-6.
func list(v []float64) string {
	s := make([]string, len(v))
	for i, x := range v {
		s[i] = strconv.FormatFloat(x, 'g', 6, 64)
	}
	return strings.Join(s, ",")
}

// ReadModel reads a fitted model: '# key: value' lines, the header
// wavelength,mean,c1,c2,c3 and one row a band.
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
			err = m.setKey(strings.TrimSpace(key), strings.TrimSpace(value))
		case !headed:
			if headed = true; line != modelHeader {
				err = fmt.Errorf("header is %q; %s is accepted", line, modelHeader)
			}
		default:
			var v [5]float64
			if err = numbers(line, v[:]); err != nil {
				break
			}
			if band >= colour.Bands || v[0] != colour.WavelengthNM(band) {
				err = fmt.Errorf("wavelength %g nm in row %d; the grid's %d bands in order are accepted", v[0], band+1, colour.Bands)
				break
			}
			m.Mean[band] = v[1]
			for k := range m.Component {
				m.Component[k][band] = v[2+k]
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

func (m *Model) setKey(key, value string) error {
	var v [Classes]float64
	switch key {
	case "low":
		return numbers(value, m.Low[:])
	case "high":
		return numbers(value, m.High[:])
	case "subjects":
		err := numbers(value, v[:])
		for i := range v {
			m.Subjects[i] = int(v[i])
		}
		return err
	case "hue":
		err := numbers(value, v[:4])
		m.Hue = HueCurve{v[0], v[1], v[2], v[3]}
		return err
	}
	return nil // a remark
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
