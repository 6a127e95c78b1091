package reading

import (
	"fmt"
	"math"

	"tawny/colour"
)

// Mean is the mean of repeated readings of one place, and how far they lie
// apart.
type Mean struct {
	colour.Reading            // Lab is of the mean spectrum where every reading has one
	N              int        // readings
	Sigma          colour.Lab // standard deviation of L*, a*, b* of one reading (n − 1); 0 for N = 1
	DeltaE         float64    // mean ΔE00 of the readings from the mean, the usual repeatability figure
	Furthest       int        // index of the reading furthest from the mean
	FurthestDeltaE float64    // and its ΔE00
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
	viewing := first.Viewing
	if viewing == nil {
		viewing = colour.D65
	}
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
			return m, fmt.Errorf("reading %d (%s) is under %s but reading 1 is under %s; one light and observer is accepted", i+1, r.Text, viewingName(r.Viewing), viewing.Name())
		}
	}
	for i, lab := range labs {
		if !lab.Finite() {
			return m, fmt.Errorf("reading %d (%s) is not a finite colour", i+1, readings[i].Text)
		}
	}
	n := float64(m.N)
	m.Reading = colour.Reading{Text: fmt.Sprintf("mean of %d readings", m.N), Viewing: viewing, Geometry: first.Geometry}
	var mean colour.Lab
	for _, lab := range labs {
		mean.L += lab.L / n
		mean.A += lab.A / n
		mean.B += lab.B / n
	}
	if m.N > 1 {
		for _, lab := range labs {
			m.Sigma.L += (lab.L - mean.L) * (lab.L - mean.L)
			m.Sigma.A += (lab.A - mean.A) * (lab.A - mean.A)
			m.Sigma.B += (lab.B - mean.B) * (lab.B - mean.B)
		}
		m.Sigma.L = math.Sqrt(m.Sigma.L / (n - 1))
		m.Sigma.A = math.Sqrt(m.Sigma.A / (n - 1))
		m.Sigma.B = math.Sqrt(m.Sigma.B / (n - 1))
	}
	m.Lab = mean
	if spectral {
		var s colour.Spectrum
		for _, r := range readings {
			for b := range s {
				s[b] += r.Spectrum[b] / n
			}
		}
		m.Spectrum = &s
		m.Lab = viewing.Lab(&s)
	}
	for i, lab := range labs {
		d := colour.DeltaE00(lab, m.Lab)
		m.DeltaE += d / n
		if d > m.FurthestDeltaE {
			m.Furthest, m.FurthestDeltaE = i, d
		}
	}
	return m, nil
}

// sameViewing compares by the weights, since two lights from files may share a
// name.
func sameViewing(a, b *colour.Viewing) bool {
	if a == nil {
		a = colour.D65
	}
	return a == b || *a.Weights() == *b.Weights()
}

func viewingName(v *colour.Viewing) string {
	if v == nil {
		v = colour.D65
	}
	return v.Name()
}
