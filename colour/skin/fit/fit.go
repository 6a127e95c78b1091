package main

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"sort"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/mat"

	"tawny/colour"
	"tawny/colour/skin"
)

// Subject is one measured skin.
type Subject struct {
	Number      int
	Reflectance colour.Spectrum // specular included
}

// Lab returns the subject's colour under D65 and the 2° observer.
func (s *Subject) Lab() colour.Lab { return colour.D65.Lab(&s.Reflectance) }

// Class returns the subject's class.
func (s *Subject) Class() skin.Class { return skin.ClassOf(skin.ITA(s.Lab())) }

// ReadSubjects reads rows of a subject's number and one reflectance a band,
// under a header of subject and the wavelengths in nm.
func ReadSubjects(r io.Reader) ([]Subject, error) {
	scan := bufio.NewScanner(r)
	var out []Subject
	headed := false
	for n := 1; scan.Scan(); n++ {
		line := strings.TrimSpace(scan.Text())
		if line == "" || line[0] == '#' {
			continue
		}
		f := strings.Split(line, ",")
		if len(f) != colour.Bands+1 {
			return nil, fmt.Errorf("line %d: %d columns; %d are accepted", n, len(f), colour.Bands+1)
		}
		if !headed {
			headed = true
			for i, w := range f[1:] {
				if w != strconv.Itoa(int(colour.WavelengthNM(i))) {
					return nil, fmt.Errorf("line %d: column %d is %q; %g nm is accepted", n, i+2, w, colour.WavelengthNM(i))
				}
			}
			continue
		}
		number, err := strconv.Atoi(f[0])
		if err != nil {
			return nil, fmt.Errorf("line %d: subject %q; a whole number is accepted", n, f[0])
		}
		s := Subject{Number: number}
		for i := range s.Reflectance {
			x, err := strconv.ParseFloat(f[i+1], 64)
			if err != nil || !(x > skin.Surface && x < 1) {
				return nil, fmt.Errorf("line %d: %q at %g nm; a reflectance from %.4f, the surface's own, to 1 is accepted", n, f[i+1], colour.WavelengthNM(i), skin.Surface)
			}
			s.Reflectance[i] = x
		}
		out = append(out, s)
	}
	return out, scan.Err()
}

// Fit returns the mean and the first three principal components of ln K/S
// below the surface over the subjects.
//
// The bands are weighted by how far R moves with ln K/S at the mean skin, so
// the components are those that explain the most of the reflectance, not of
// its logarithm. They are scaled to one standard deviation, and turned so that
// their largest element is positive.
func Fit(subjects []Subject) (skin.Model, error) {
	n := len(subjects)
	if n < 4 {
		return skin.Model{}, fmt.Errorf("%d subjects; at least 4 are needed for three components", n)
	}
	var m skin.Model
	y := mat.NewDense(n, colour.Bands, nil)
	for i := range subjects {
		for b, r := range subjects[i].Reflectance {
			k := skin.LogKS(r - skin.Surface)
			y.Set(i, b, k)
			m.Mean[b] += k / float64(n)
		}
		m.Subjects[subjects[i].Class()]++
	}
	weight := slope(&m)
	for i := 0; i < n; i++ {
		for b := range weight {
			y.Set(i, b, (y.At(i, b)-m.Mean[b])*weight[b])
		}
	}
	var svd mat.SVD
	if !svd.Factorize(y, mat.SVDThin) {
		return skin.Model{}, fmt.Errorf("the singular values did not converge")
	}
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	values := svd.Values(nil)
	for k := range m.Component {
		// A score in standard deviations is √n times its element of U.
		c := &m.Component[k]
		for b := range c {
			c[b] = v.At(b, k) * values[k] / math.Sqrt(float64(n)) / weight[b]
		}
		sign := 1.0
		if largest(c) < 0 {
			sign = -1
		}
		for b := range c {
			c[b] *= sign
		}
		m.Low[k], m.High[k] = math.Inf(1), math.Inf(-1)
		for i := 0; i < n; i++ {
			s := sign * u.At(i, k) * math.Sqrt(float64(n))
			m.Low[k] = math.Min(m.Low[k], s)
			m.High[k] = math.Max(m.High[k], s)
		}
	}
	m.Hue, _ = fitHue(subjects)
	return m, nil
}

// slope returns |dR/d ln K/S| at the model's mean, by central differences.
func slope(m *skin.Model) (d colour.Spectrum) {
	const h = 1e-5
	up, down := skin.Model{Mean: m.Mean}, skin.Model{Mean: m.Mean}
	for b := range d {
		up.Mean[b] += h
		down.Mean[b] -= h
	}
	a, z := up.At([3]float64{}, true), down.At([3]float64{}, true)
	for b := range d {
		d[b] = math.Abs(a[b]-z[b]) / (2 * h)
	}
	return d
}

// largest returns the element of greatest size, with its sign.
func largest(s *colour.Spectrum) (x float64) {
	for _, v := range s {
		if math.Abs(v) > math.Abs(x) {
			x = v
		}
	}
	return x
}

// fitHue returns the line of hue on lightness with the least sum of absolute
// distances, which halves the subjects, and the subjects' distances from it
// in rising order. Such a line passes through two of the points, so every
// pair is tried. Colours are without the surface's own light.
func fitHue(subjects []Subject) (skin.HueCurve, []float64) {
	n := len(subjects)
	l, h := make([]float64, n), make([]float64, n)
	c := skin.HueCurve{Low: math.Inf(1), High: math.Inf(-1)}
	for i := range subjects {
		r := subjects[i].Reflectance
		for b := range r {
			r[b] -= skin.Surface
		}
		lch := colour.D65.Lab(&r).LCh()
		l[i], h[i] = lch.L, lch.H
		c.Low, c.High = math.Min(c.Low, l[i]), math.Max(c.High, l[i])
	}
	best := math.Inf(1)
	for i := range l {
		for j := i + 1; j < n; j++ {
			if l[i] == l[j] {
				continue
			}
			t := (h[j] - h[i]) / (l[j] - l[i])
			sum := 0.0
			for k := range l {
				sum += math.Abs(h[k] - h[i] - t*(l[k]-l[i]))
			}
			if sum < best {
				best = sum
				c.AtLow, c.AtHigh = h[i]+t*(c.Low-l[i]), h[i]+t*(c.High-l[i])
			}
		}
	}
	away := make([]float64, n)
	for k := range l {
		away[k] = h[k] - c.At(l[k])
	}
	sort.Float64s(away)
	return c, away
}
