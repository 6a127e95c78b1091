package reading

import (
	"cmp"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"tawny/colour"
)

// Mean is the mean of repeated readings of one place, and how far they lie
// apart.
type Mean struct {
	colour.Reading `json:"-"` // Lab is of the mean spectrum where every reading has one
	N              int        `json:"n"`             // readings
	Sigma          colour.Lab `json:"sigma"`         // standard deviation of L*, a*, b* of one reading (n − 1); 0 for N = 1
	DeltaE         float64    `json:"deltaE00"`      // mean ΔE00 of the readings from the mean, the usual repeatability figure
	FurthestDeltaE float64    `json:"worstDeltaE00"` // ΔE00 of the reading furthest from the mean
}

// SE returns the standard error of the mean in L*, a*, b*: Sigma/√N.
func (m Mean) SE() colour.Lab {
	if m.N == 0 {
		return colour.Lab{}
	}
	r := math.Sqrt(float64(m.N))
	return colour.Lab{L: m.Sigma.L / r, A: m.Sigma.A / r, B: m.Sigma.B / r}
}

// Average takes the mean of readings. They must agree on the
// geometry, and on light and observer unless all have spectra, which are then
// seen under the first one's. With a spectrum in every reading the spectra are
// averaged and L*a*b* follows; otherwise L*, a* and b* are, which for the
// spread of repeated readings is the same to a few hundredths of ΔE.
func Average(readings []colour.Reading) (Mean, error) {
	m := Mean{N: len(readings)}
	if m.N == 0 {
		return m, fmt.Errorf("no readings to average; at least one is needed")
	}
	first := readings[0]
	viewing := cmp.Or(first.Viewing, colour.D65)
	spectral := true
	for _, r := range readings {
		spectral = spectral && r.Spectrum != nil
	}
	labs := make([]colour.Lab, m.N)
	for i, r := range readings {
		if r.Geometry != first.Geometry {
			return m, fmt.Errorf("reading %d (%s): %s; reading 1: %s; readings of one kind are accepted", i+1, r.Text, r.Geometry.Words(), first.Geometry.Words())
		}
		labs[i] = r.Lab
		if spectral {
			labs[i] = viewing.Lab(r.Spectrum)
			continue
		}
		if !sameViewing(r.Viewing, viewing) {
			return m, fmt.Errorf("reading %d (%s) is under %s but reading 1 is under %s; one light and observer is accepted", i+1, r.Text, cmp.Or(r.Viewing, colour.D65).Name(), viewing.Name())
		}
	}
	for i, lab := range labs {
		if !lab.Finite() {
			return m, fmt.Errorf("reading %d (%s) is not a finite colour", i+1, readings[i].Text)
		}
	}
	n := float64(m.N)
	m.Reading = colour.Reading{Text: fmt.Sprintf("mean of %d readings", m.N), Viewing: viewing, Geometry: first.Geometry}
	channel := func(of func(colour.Lab) float64) (mean, sigma float64) {
		var values []float64
		for _, lab := range labs {
			values = append(values, of(lab))
		}
		mean, sigma = stat.MeanStdDev(values, nil)
		if m.N == 1 {
			sigma = 0
		}
		return mean, sigma
	}
	m.Lab.L, m.Sigma.L = channel(func(c colour.Lab) float64 { return c.L })
	m.Lab.A, m.Sigma.A = channel(func(c colour.Lab) float64 { return c.A })
	m.Lab.B, m.Sigma.B = channel(func(c colour.Lab) float64 { return c.B })
	if spectral {
		var s colour.Spectrum
		for _, r := range readings {
			m.Bright = cmp.Or(m.Bright, r.Bright)
			for b := range s {
				s[b] += r.Spectrum[b] / n
			}
		}
		m.Spectrum = &s
		m.Lab = viewing.Lab(&s)
	}
	for _, lab := range labs {
		d := colour.DeltaE00(lab, m.Lab)
		m.DeltaE += d / n
		m.FurthestDeltaE = max(m.FurthestDeltaE, d)
	}
	return m, nil
}

// sameViewing compares by the weights, since two lights from files may share a
// name.
func sameViewing(a, b *colour.Viewing) bool {
	a = cmp.Or(a, colour.D65)
	return a == b || *a.Weights() == *b.Weights()
}
