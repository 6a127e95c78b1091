package main

import (
	"math"
	"testing"

	"tawny/colour"
	"tawny/colour/skin"
)

var underA = func() *colour.Viewing {
	a, err := colour.FindIlluminant("A")
	if err != nil {
		panic(err)
	}
	return colour.NewViewing(a, colour.CIE1931)
}()

// miss is how far a rebuilt spectrum is from the measured one.
type miss struct {
	subject  int
	class    skin.Class
	rms, d00 float64 // of R; under illuminant A
}

// rebuild predicts a subject's spectrum from its D65/2 colour alone.
type rebuild func(colour.Lab) (colour.Spectrum, error)

func (r rebuild) miss(t *testing.T, s *Subject) miss {
	t.Helper()
	got, err := r(s.Lab())
	if err != nil {
		t.Fatalf("subject %d: %v", s.Number, err)
	}
	if d := colour.DeltaE76(colour.D65.Lab(&got), s.Lab()); d > 1e-9 {
		t.Errorf("subject %d: the D65 colour is off by %.2g", s.Number, d)
	}
	return miss{s.Number, s.Class(), colour.RMS(&got, &s.Reflectance), colour.DeltaE00(underA.Lab(&got), underA.Lab(&s.Reflectance))}
}

// leaveOneOut rebuilds each subject from a fit to the others.
func leaveOneOut(t *testing.T, all []Subject, fit func([]Subject) rebuild) (out []miss) {
	t.Helper()
	for i := range all {
		others := append(append([]Subject(nil), all[:i]...), all[i+1:]...)
		out = append(out, fit(others).miss(t, &all[i]))
	}
	return out
}

// lightToDeep fits the very light and light and rebuilds the tan and brown.
func lightToDeep(t *testing.T, all []Subject, fit func([]Subject) rebuild) (out []miss) {
	t.Helper()
	var light []Subject
	for i := range all {
		if all[i].Class() <= skin.Light {
			light = append(light, all[i])
		}
	}
	r := fit(light)
	for i := range all {
		if all[i].Class() >= skin.Tan {
			out = append(out, r.miss(t, &all[i]))
		}
	}
	return out
}

type summary struct {
	n                  int
	rms, worstRMS      float64
	d00, worstD00      float64
	worstRMSID, d00sID int
}

func summarise(all []miss, keep func(miss) bool) (s summary) {
	for _, m := range all {
		if !keep(m) {
			continue
		}
		s.n++
		s.rms += m.rms
		s.d00 += m.d00
		if m.rms > s.worstRMS {
			s.worstRMS, s.worstRMSID = m.rms, m.subject
		}
		if m.d00 > s.worstD00 {
			s.worstD00, s.d00sID = m.d00, m.subject
		}
	}
	s.rms /= float64(s.n)
	s.d00 /= float64(s.n)
	return s
}

func every(miss) bool { return true }

func of(c skin.Class) func(miss) bool { return func(m miss) bool { return m.class == c } }

func (s summary) log(t *testing.T, name string) {
	t.Helper()
	t.Logf("%-34s %2d  RMS %.4f (max %.4f, subject %d)  ΔE00 under A %.2f (max %.2f, subject %d)", name, s.n, s.rms, s.worstRMS, s.worstRMSID, s.d00, s.worstD00, s.d00sID)
}

func kept(train []Subject) rebuild {
	m, err := Fit(train)
	return func(c colour.Lab) (colour.Spectrum, error) {
		if err != nil {
			return colour.Spectrum{}, err
		}
		s, err := m.Solve(c, colour.D65, false)
		return m.At(s, false), err
	}
}

// The goal figures, from a prototype on 25 other subjects: mean RMS error in R
// 0.006 (max 0.014), mean ΔE00 under A from D65 L*a*b* alone 0.31 (max 0.76).
// Here each of the 75 is left out in turn. One subject, a very light one, is
// beyond both largest figures whatever the method (with −ln R it is at 0.0184
// and 1.12); it is allowed by number, and no other is.
func TestLeaveOneOut(t *testing.T) {
	all := subjects(t)
	out := leaveOneOut(t, all, kept)
	total := summarise(out, every)
	total.log(t, "all")
	if total.rms > 0.006 || total.d00 > 0.31 {
		t.Errorf("mean RMS %.4f and ΔE00 %.2f; the goals are 0.006 and 0.31", total.rms, total.d00)
	}
	const oddSubject = 14
	for _, m := range out {
		if m.subject != oddSubject && (m.rms > 0.014 || m.d00 > 0.76) {
			t.Errorf("subject %d (%s): RMS %.4f and ΔE00 %.2f; the goals are at most 0.014 and 0.76", m.subject, m.class, m.rms, m.d00)
		}
		if m.rms > 0.015 || m.d00 > 0.88 {
			t.Errorf("subject %d: RMS %.4f and ΔE00 %.2f", m.subject, m.rms, m.d00)
		}
	}
	// A class each, and on the mean no worse in any class than −ln R with three
	// components, the method to beat.
	plain := leaveOneOut(t, all, alternative(logR(0), nil))
	for c := skin.VeryLight; c < skin.Dark; c++ {
		s, p := summarise(out, of(c)), summarise(plain, of(c))
		s.log(t, c.String())
		p.log(t, "  "+c.String()+" by −ln R")
		if s.rms > 0.0070 || s.d00 > 0.31 {
			t.Errorf("%s: RMS %.4f, ΔE00 %.2f", c, s.rms, s.d00)
		}
		if s.rms > p.rms || s.d00 > p.d00 {
			t.Errorf("%s: RMS %.4f and ΔE00 %.2f, −ln R does %.4f and %.2f", c, s.rms, s.d00, p.rms, p.d00)
		}
	}
}

// Components of the very light and light subjects only, asked for the tan and
// brown. The goal figures, on nine subjects: RMS 0.004 to 0.011, ΔE00 under A
// 0.3 to 1.2.
func TestLightToDeep(t *testing.T) {
	all := subjects(t)
	out := lightToDeep(t, all, kept)
	for _, m := range out {
		t.Logf("subject %2d %-6s RMS %.4f  ΔE00 under A %.2f", m.subject, m.class, m.rms, m.d00)
		if m.rms > 0.008 || m.d00 > 0.6 {
			t.Errorf("subject %d: RMS %.4f, ΔE00 %.2f", m.subject, m.rms, m.d00)
		}
	}
	s := summarise(out, every)
	s.log(t, "tan and brown from light")
	if s.n != 5 || s.rms > 0.004 || s.d00 > 0.3 {
		t.Errorf("%d subjects, mean RMS %.4f, ΔE00 %.2f", s.n, s.rms, s.d00)
	}
}

// The last resort is far off on skin, which is why it is the last.
func TestSmoothestIsNoSkin(t *testing.T) {
	all := subjects(t)
	smoothest := rebuild(func(c colour.Lab) (colour.Spectrum, error) { return skin.Smoothest(c, colour.D65, 0) })
	var out []miss
	for i := range all {
		out = append(out, smoothest.miss(t, &all[i]))
	}
	s := summarise(out, every)
	s.log(t, "smoothest spectrum")
	if k := summarise(leaveOneOut(t, all, kept), every); s.rms < 5*k.rms || s.d00 < 5*k.d00 {
		t.Errorf("smoothest: RMS %.4f, ΔE00 %.2f; the model %.4f and %.2f", s.rms, s.d00, k.rms, k.d00)
	}
}

// The comparison in the package documentation of colour/skin.
func TestAlternativesAreWorse(t *testing.T) {
	all := subjects(t)
	k := summarise(leaveOneOut(t, all, kept), every)
	kDeep := summarise(lightToDeep(t, all, kept), every)
	for _, row := range []struct {
		name string
		fit  func([]Subject) rebuild
	}{
		{"−ln R", alternative(logR(0), nil)},
		{"−ln(R−k1)", alternative(logR(skin.Surface), nil)},
		{"−ln R, melanin λ^−3.48", alternative(logR(0), func(nm float64) float64 { return math.Pow(nm/550, -3.48) })},
		{"−ln R, melanin λ^−3.33", alternative(logR(0), func(nm float64) float64 { return math.Pow(nm/550, -3.33) })},
		{"−ln R, melanin e^(−0.0062λ)", alternative(logR(0), func(nm float64) float64 { return math.Exp(-0.0062 * (nm - 550)) })},
		{"ln K/S, melanin λ^−3.48", alternative(logKS, func(nm float64) float64 { return math.Pow(nm/550, -3.48) })},
		{"ln K/S, bands not weighted", alternative(logKS, nil)},
	} {
		s := summarise(leaveOneOut(t, all, row.fit), every)
		s.log(t, row.name+", left out")
		d := summarise(lightToDeep(t, all, row.fit), every)
		d.log(t, row.name+", light to deep")
		if s.rms < k.rms || s.d00 < k.d00 || d.rms < kDeep.rms || d.d00 < kDeep.d00 {
			t.Errorf("%s does better than the model kept: RMS %.4f and %.4f, ΔE00 %.2f and %.2f", row.name, s.rms, k.rms, s.d00, k.d00)
		}
	}
	k.log(t, "kept, left out")
	kDeep.log(t, "kept, light to deep")
}
