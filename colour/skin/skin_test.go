package skin

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"tawny/colour"
	"tawny/colour/reading"
)

// Five subjects of the NIST skin data (Cooksey, Allen and Tsai, J. Res. NIST
// 122:26, 2017, data doi:10.18434/M38597): L*a*b* under D65 and A, and four
// reflectances, at 450, 550, 580 and 650 nm. From the D65 colour alone the
// model must give the others: R within 0.014, design figure for the root mean
// square, and ΔE00 under A within 0.4.
func TestQuotedSubjects(t *testing.T) {
	a, err := colour.FindIlluminant("A")
	if err != nil {
		t.Fatal(err)
	}
	underA := colour.NewViewing(a, colour.CIE1931)
	for _, row := range []struct {
		subject int
		class   Class
		d65, a  colour.Lab
		r       [4]float64
	}{
		{2, VeryLight, colour.Lab{L: 71.41, A: 8.75, B: 14.30}, colour.Lab{L: 73.04, A: 15.04, B: 15.37}, [4]float64{0.3158, 0.3807, 0.4024, 0.6309}},
		{10, Light, colour.Lab{L: 66.38, A: 9.83, B: 14.04}, colour.Lab{L: 68.09, A: 16.76, B: 15.02}, [4]float64{0.2557, 0.3070, 0.3239, 0.5687}},
		{9, Intermediate, colour.Lab{L: 62.39, A: 10.97, B: 15.65}, colour.Lab{L: 64.30, A: 18.07, B: 16.98}, [4]float64{0.2035, 0.2606, 0.2845, 0.5220}},
		{41, Tan, colour.Lab{L: 54.94, A: 10.22, B: 19.20}, colour.Lab{L: 56.95, A: 16.45, B: 20.96}, [4]float64{0.1324, 0.2015, 0.2268, 0.3893}},
		{98, Brown, colour.Lab{L: 49.31, A: 11.27, B: 20.45}, colour.Lab{L: 51.50, A: 16.81, B: 22.85}, [4]float64{0.0945, 0.1602, 0.1851, 0.3226}},
	} {
		s, err := FromReading(colour.Reading{Lab: row.d65, Viewing: colour.D65})
		if err != nil {
			t.Fatal(err)
		}
		if s.Class != row.class || s.Extrapolated || s.Method != Modelled || !s.ITAReliable {
			t.Errorf("subject %d: %s, extrapolated %v, by %s, ITA reliable %v", row.subject, s.Class, s.Extrapolated, s.Method, s.ITAReliable)
		}
		for k, band := range []int{7, 17, 20, 27} {
			if d := s.Reflectance[band] - row.r[k]; math.Abs(d) > 0.014 {
				t.Errorf("subject %d at %g nm: %.4f, measured %.4f", row.subject, colour.WavelengthNM(band), s.Reflectance[band], row.r[k])
			}
		}
		if d := colour.DeltaE00(underA.Lab(&s.Reflectance), row.a); d > 0.4 {
			t.Errorf("subject %d: ΔE00 under A %.2f", row.subject, d)
		}
	}
}

// A reading comes back exactly under its own light, observer and gloss.
func TestReadingIsReproduced(t *testing.T) {
	for _, text := range []string{
		"lab:64.1,11.3,14.4", "lab:64.1,11.3,14.4/de", "lab:64.1,15.3,18.4@A/10", "lab:49.3,11.3,20.4@D50/2/de",
		"lab:52,14,17@F11", "lab:26.7,14.6,14.7/de", "lch:64.1,18.3,51.9", "#b98a6e", "lab:30,20,20", "lab:55,-40,30",
	} {
		r, err := colour.ParseReading(text)
		if err != nil {
			t.Fatal(err)
		}
		s, err := FromReading(r)
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		if d := colour.DeltaE76(r.Viewing.Lab(&s.Reflectance), r.Lab); d > 1e-9 {
			t.Errorf("%s: off by %.2g by the %s", text, d, s.Method)
		}
		if d := colour.DeltaE76(colour.D65.Lab(&s.Reflectance), s.Lab); d > 1e-9 {
			t.Errorf("%s: Lab is not that of the reflectance under D65/2, off by %.2g", text, d)
		}
		for i, x := range s.Reflectance {
			if !(x > 0 && x < 1) {
				t.Errorf("%s: reflectance %g at %g nm", text, x, colour.WavelengthNM(i))
			}
		}
	}
}

// The same skin read with and without gloss has one undertone and one
// spectrum, what the surface sends to the mirror apart.
func TestGlossChangesOnlyTheSurface(t *testing.T) {
	for _, p := range Presets() {
		matt := p.Reflectance
		for i := range matt {
			matt[i] -= (1 - HazeShare) * fresnel(SurfaceIndex, SphereDeg)
		}
		s, err := FromReading(colour.Reading{Lab: colour.D65.Lab(&matt), Geometry: colour.DE})
		if err != nil {
			t.Fatal(err)
		}
		if s, err = s.At(Face); err != nil {
			t.Fatal(err)
		}
		if rms := colour.RMS(&s.Reflectance, &matt); rms > 1e-9 {
			t.Errorf("%s: excluded reading differs by %.2g", p.Name, rms)
		}
		if math.Abs(s.Undertone.Degrees-p.Undertone.Degrees) > 1e-6 {
			t.Errorf("%s: undertone %.3f without gloss, %.3f with", p.Name, s.Undertone.Degrees, p.Undertone.Degrees)
		}
	}
	// A reading without gloss too dark to have left the usual share out.
	s, err := FromReading(colour.Reading{Lab: colour.Lab{L: 1, A: 0.5, B: 0.3}, Geometry: colour.DE})
	if err != nil || !strings.Contains(s.Note, "surface was taken to return") {
		t.Errorf("L* 1 without gloss: note %q, %v", s.Note, err)
	}
}

func TestMeasuredSpectrumIsUsedAsItIs(t *testing.T) {
	r := Presets()[Tan].Reflectance
	for i := range r {
		r[i] += 0.004 * math.Sin(float64(i)) // no model has this
	}
	s, err := FromReading(colour.Reading{Text: "arm.csv", Lab: colour.D65.Lab(&r), Viewing: colour.D65, Spectrum: &r})
	if err != nil {
		t.Fatal(err)
	}
	if s.Reflectance != r || s.Method != Measured || s.Extrapolated || s.Name != "arm.csv" {
		t.Errorf("%s by %s, extrapolated %v, same spectrum %v", s.Name, s.Method, s.Extrapolated, s.Reflectance == r)
	}
	for _, bad := range []float64{0, -0.1, 1, 1.2, math.NaN()} {
		q := r
		q[3] = bad
		_, err := FromReading(colour.Reading{Text: "arm.csv", Spectrum: &q})
		if err == nil || !strings.Contains(err.Error(), "410 nm") {
			t.Errorf("reflectance %g: %v", bad, err)
		}
	}
}

func TestMarks(t *testing.T) {
	for _, row := range []struct {
		text         string
		method       string
		extrapolated bool
		note         string // part of
	}{
		{"lab:64.1,11.3,14.4", Modelled, false, ""},
		{"lab:44,11,17", Modelled, false, ""},
		{"lab:26.7,14.6,14.7/de", Modelled, false, ""},      // the published deep cluster
		{"lab:32.247,8.145,11.597", Modelled, false, ""},    // a measured deep skin, 0.0266 at 690 nm by an older model
		{"lab:50,0,0", Modelled, true, "check the reading"}, // a grey
		{"lab:55,-40,30", Modelled, true, "check the reading"},
	} {
		s, err := Parse(row.text)
		if err != nil {
			t.Errorf("%s: %v", row.text, err)
			continue
		}
		if s.Method != row.method || s.Extrapolated != row.extrapolated || !strings.Contains(s.Note, row.note) || (row.note == "" && s.Note != "") {
			t.Errorf("%s: by the %s, extrapolated %v, note %q", row.text, s.Method, s.Extrapolated, s.Note)
		}
	}
}

// A spectrum of no one's skin, a white tile's or a sleeve's, is used as it is and
// remarked on.
func TestSpectrumFarFromEveryone(t *testing.T) {
	tile := colour.Constant(0.93)
	sleeve, err := SmoothSpectrum(colour.Lab{L: 50, A: -38, B: 39}, colour.D65, 0)
	if err != nil {
		t.Fatal(err)
	}
	for _, spectrum := range []colour.Spectrum{tile, sleeve} {
		s, err := FromReading(colour.Reading{Lab: colour.D65.Lab(&spectrum), Spectrum: &spectrum})
		if err != nil || s.Extrapolated || s.Reflectance != spectrum || !strings.Contains(s.Note, "no one measured is like this") || !strings.Contains(s.Note, "check the reading") {
			t.Errorf("extrapolated %v, note %q, %v", s.Extrapolated, s.Note, err)
		}
	}
}

// What is bright and of a strong colour is not called dark.
func TestWordsOfAStrongColour(t *testing.T) {
	s, err := Parse("#ff00ff")
	if err != nil || !strings.Contains(s.Note, "so little of some of the light comes back") || strings.Contains(s.Note, "dark") {
		t.Errorf("%q, %v", s.Note, err)
	}
}

func TestImpossibleReadings(t *testing.T) {
	for _, text := range []string{"lab:0,0,0", "lab:0.5,40,-60", "lab:99.9,60,60", "lab:50,0,150"} {
		_, err := Parse(text)
		if !errors.Is(err, ErrNoReflectance) || !strings.Contains(err.Error(), text) {
			t.Errorf("%s: %v", text, err)
		}
	}
	if _, err := FromReading(colour.Reading{Lab: colour.Lab{L: math.NaN()}}); err == nil {
		t.Error("NaN was accepted")
	}
	if _, err := FromReading(colour.Reading{Lab: colour.Lab{L: 50, A: math.Inf(1)}}); err == nil {
		t.Error("infinity was accepted")
	}
	if _, err := FromReading(colour.Reading{}); !errors.Is(err, ErrNoReflectance) {
		t.Errorf("the zero reading is black: %v", err)
	}
}

func TestParse(t *testing.T) {
	for text, want := range map[string]string{
		"ligth": "did you mean light?", "brwon": "did you mean brown?", "intermediat": "did you mean intermediate?",
		"olive": "accepted are very light (also fair, pale), light, intermediate (also medium), tan (also tanned), brown, dark (also deep)", "": "empty",
		"lab:1,2": "three separated by commas", "no.csv": "no.csv",
	} {
		_, err := Parse(text)
		if err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %v, want %q in it", text, err, want)
		}
	}
	var b strings.Builder
	b.WriteString("wavelength,reflectance_percent\n")
	for i := 0; i < colour.Bands; i++ {
		fmt.Fprintf(&b, "%g,40\n", colour.WavelengthNM(i))
	}
	list, _, err := reading.Parse("arm.csv", strings.NewReader(b.String()))
	if err != nil {
		t.Fatal(err)
	}
	s, err := FromReading(list[0].Reading)
	if err != nil || s.Method != Measured || s.Reflectance[5] != 0.4 {
		t.Errorf("a file: by %s, %g, %v", s.Method, s.Reflectance[5], err)
	}
}

// No text makes it panic, and no skin comes out without a possible spectrum of
// the colour read.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"light", "very light", "lab:64.1,11.3,14.4", "lab:26.7,14.6,14.7/de", "lch:50,20,60@A/10", "#b98a6e", "lab:0,0,0", "lab:100,0,0", "lab:50,-80,80", "ligth", "", "@", "lab:1e-300,0,0"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if !strings.ContainsAny(text, "#:") {
			if _, err := Find(text); err != nil && strings.Contains(err.Error(), "\n") {
				t.Errorf("%q: more than one line: %v", text, err)
			}
			return // would be a file's name
		}
		s, err := Parse(text)
		if err != nil {
			return
		}
		for _, x := range s.Reflectance {
			if !(x > 0 && x < 1) {
				t.Fatalf("%q: reflectance %g", text, x)
			}
		}
		if d := colour.DeltaE76(s.Reading.Viewing.Lab(&s.Reflectance), s.Reading.Lab); !(d < 1e-9) {
			t.Errorf("%q: off by %g by the %s", text, d, s.Method)
		}
	})
}
